//! The program: reads its settings, opens the store, serves or does a chore.

use clap::{Arg, ArgAction, ArgMatches, Command};
use report::Message;
use server::config::{Config, Given, KEYS, Tls};
use server::serve::{Listeners, asked_to_end, serve};
use server::shop::{Shop, now};
use server::{maintenance, secret, tls};
use std::io::Write as _;
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;
use store::{Opening, Store};
use wording::Wording;

type Outcome<T> = Result<T, Box<dyn std::error::Error>>;

fn command() -> Command {
    let mut command = Command::new("gastight-server")
        .version(env!("CARGO_PKG_VERSION"))
        .about("The shop's server. Without a subcommand it serves.")
        .arg(
            Arg::new("config")
                .long("config")
                .value_name("FILE")
                .env("GASTIGHT_CONFIG")
                .global(true)
                .help("A file of settings, TOML"),
        )
        .arg(
            Arg::new("print-config")
                .long("print-config")
                .action(ArgAction::SetTrue)
                .help("Print every setting with where it came from, and end"),
        );
    for key in KEYS {
        let arg = Arg::new(key.name).long(key.name).global(true).help(match key.default {
            Some(default) => format!("{} [default: {default}]", key.help),
            None => key.help.to_owned(),
        });
        command = command.arg(match (key.value, key.many) {
            ("", _) => arg.action(ArgAction::SetTrue),
            (value, true) => arg.value_name(value).action(ArgAction::Append),
            (value, false) => arg.value_name(value).action(ArgAction::Set),
        });
    }
    let place =
        |name: &'static str, help: &'static str| Arg::new(name).value_name("PATH").required(true).help(help);
    let name = || Arg::new("name").value_name("NAME").required(true).help("The person's name");
    command
        .subcommand(
            Command::new("backup")
                .about("Writes everything into an empty folder, while the server runs")
                .arg(place("into", "An empty folder")),
        )
        .subcommand(
            Command::new("restore")
                .about("Fills an empty data folder from a backup, after checking all of it")
                .arg(place("from", "The folder of a backup")),
        )
        .subcommand(Command::new("verify").about("Examines every event and every picture"))
        .subcommand(
            Command::new("export")
                .about("Writes the record in open forms: JSON Lines, CSV, pictures")
                .arg(place("into", "An empty folder")),
        )
        .subcommand(
            Command::new("import")
                .about("Takes in a log, or the folder of an export")
                .arg(place("from", "A file of JSON Lines, or a folder")),
        )
        .subcommand(
            Command::new("person")
                .about("The people of the shop")
                .subcommand_required(true)
                .subcommand(
                    Command::new("add")
                        .about("Adds a person")
                        .arg(name())
                        .arg(
                            Arg::new("role")
                                .long("role")
                                .value_parser(["owner", "office", "technician", "apprentice"])
                                .default_value("technician")
                                .help("What the person may do"),
                        )
                        .arg(Arg::new("password").long("password").action(ArgAction::SetTrue).help(
                            "Read a password from the standard input; an owner and the office need one",
                        )),
                )
                .subcommand(
                    Command::new("password")
                        .about("Gives a person a new password, read from the standard input")
                        .arg(name()),
                )
                .subcommand(Command::new("list").about("Lists the people")),
        )
        .subcommand(
            Command::new("pair")
                .about("Prints a code and a QR code by which a phone of a person pairs")
                .arg(name()),
        )
        .subcommand(Command::new("demo").about("Fills an empty data folder with an invented shop"))
}

fn given(matches: &ArgMatches) -> Outcome<Given> {
    let flag = |key: &server::config::Key| match (key.value, key.many) {
        ("", _) => matches.get_flag(key.name).then(|| vec!["true".to_owned()]),
        (_, true) => matches.get_many::<String>(key.name).map(|values| values.cloned().collect()),
        (_, false) => matches.get_one::<String>(key.name).map(|value| vec![value.clone()]),
    };
    let file = matches.get_one::<String>("config").map(Path::new);
    Ok(Given::collect(flag, |name| std::env::var(name).ok(), file)?)
}

fn main() -> ExitCode {
    let matches = command().get_matches();
    match run(&matches) {
        Ok(code) => code,
        Err(why) => {
            eprintln!("gastight-server: {why}");
            ExitCode::FAILURE
        }
    }
}

fn run(matches: &ArgMatches) -> Outcome<ExitCode> {
    let inner = matches.subcommand().map_or(matches, |(_, inner)| deepest(inner));
    let given = given(inner)?;
    if matches.get_flag("print-config") {
        print!("{}", given.print());
        return Ok(ExitCode::SUCCESS);
    }
    let config = Config::read(&given)?;
    let wording = Wording::new("en");
    std::fs::create_dir_all(&config.data).map_err(|e| format!("{}: {e}", config.data.display()))?;
    let opening = Opening { epoch: secret::id(now())?, now: now(), durable: true };
    let store = store::open(&config.data, config.postgres.as_deref(), &opening)?;
    if let Some((name, matches)) = matches.subcommand() {
        let done = maintenance::run(&*store, &config, name, matches)?;
        let mut out = std::io::stdout().lock();
        for line in &done.said {
            match writeln!(out, "{}", line.text(&wording)) {
                // Who read the first lines has what they wanted.
                Err(why) if why.kind() == std::io::ErrorKind::BrokenPipe => break,
                written => written?,
            }
        }
        return Ok(if done.failed { ExitCode::FAILURE } else { ExitCode::SUCCESS });
    }
    start_log(&config)?;
    tls::install_provider();
    let set = tls::set_up(&config)?;
    for line in guide(&*store, &config, set.as_ref())? {
        eprintln!("{}", wording.say(&line));
    }
    let authority = set.as_ref().and_then(|set| set.authority.clone());
    let shop = Arc::new(Shop::new(store.clone(), &config, authority));
    let runtime =
        tokio::runtime::Builder::new_multi_thread().enable_all().max_blocking_threads(64).build()?;
    runtime.block_on(async {
        let listeners = Listeners::open(&config).await?;
        tracing::info!(address = %listeners.main.local_addr()?, store = store.kind(), "listening");
        serve(shop, listeners, set, asked_to_end()).await;
        std::io::Result::Ok(())
    })?;
    runtime.shutdown_timeout(std::time::Duration::from_secs(5));
    // The store goes last, outside of any task.
    drop(store);
    Ok(ExitCode::SUCCESS)
}

fn deepest(matches: &ArgMatches) -> &ArgMatches {
    matches.subcommand().map_or(matches, |(_, inner)| deepest(inner))
}

fn start_log(config: &Config) -> Outcome<()> {
    let filter = tracing_subscriber::EnvFilter::try_new(&config.log)
        .map_err(|why| format!("log: {why}; seen: {}; wanted: info, or a filter by module", config.log))?;
    let lines =
        tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr).with_ansi(false);
    if config.log_json {
        lines.json().init()
    } else {
        lines.init()
    }
    Ok(())
}

/// What a small shop needs to know at the start.
fn guide(store: &dyn Store, config: &Config, set: Option<&tls::Set>) -> Outcome<Vec<Message>> {
    let url = config.public_url.as_str();
    let mut lines = vec![Message::new("server-start").with("url", url)];
    if store.counts()?.people == 0 {
        lines.push(Message::new("server-start-nobody").with("data", config.data.display().to_string()));
    }
    match (&config.tls, set.and_then(|set| set.own.as_ref())) {
        (_, Some(own)) => {
            let trust = match config.trust_listen {
                Some(address) => format!("http://{}/trust", server::config::reachable(address)),
                None => format!("{url}/trust"),
            };
            lines.push(
                Message::new("server-start-own").with("names", own.names().join(", ")).with("trust", trust),
            );
        }
        (Tls::Off, _) if !config.secure => {
            let loopback = config.listen.ip().is_loopback();
            lines.push(if loopback {
                Message::new("server-start-loopback")
            } else {
                Message::new("server-start-plain")
            });
        }
        _ => {}
    }
    Ok(lines)
}
