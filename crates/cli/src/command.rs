//! The tree of commands and options, its sentences from the catalogue.

use clap::{Arg, ArgAction, Command};
use report::Message;
use wording::Wording;

/// Returns the whole command, worded.
pub fn command(wording: &Wording) -> Command {
    let tree = Tree { wording };
    let command = Command::new("gastight")
        .version(env!("CARGO_PKG_VERSION"))
        .about(tree.say(Message::new("cli-about")))
        .after_help(tree.say(Message::new("cli-after")))
        .subcommand_required(true)
        .arg_required_else_help(true)
        .disable_help_subcommand(true)
        .subcommands([
            tree.saturation(),
            tree.state(),
            tree.pipe(),
            tree.superheat(),
            tree.subcooling(),
            tree.hold(),
            tree.rise(),
            tree.cylinder(),
            tree.receiver(),
            tree.winter(),
            tree.cold_box(),
            tree.displays(),
            tree.fractionation(),
            tree.outflow(),
            tree.batch(),
            tree.pulldown(),
            tree.opening(),
            tree.recovery(),
            tree.evacuation(),
            tree.refrigerants(),
            tree.job(),
            tree.duties(),
            crate::search::command(wording),
            crate::diagnose::command(wording),
            crate::watch::command(wording),
            tree.completions(),
        ])
        .arg(crate::language::option(wording));
    crate::language::worded(command, wording)
}

struct Tree<'a> {
    wording: &'a Wording,
}

impl Tree<'_> {
    fn say(&self, message: Message) -> String {
        self.wording.say(&message)
    }

    /// A command that answers one question: its example stands in the help, and it can answer as JSON.
    fn question(&self, name: &'static str, about: Message, example: &'static str) -> Command {
        let example = self.say(Message::new("cli-example").with("example", example));
        Command::new(name)
            .about(self.say(about))
            .after_help(example)
            .arg(self.flag("json", Message::new("cli-json")))
            .arg(self.flag("explain", Message::new("cli-explain")))
            .arg(self.option("units", "us|metric|bar", Message::new("cli-units")))
    }

    fn flag(&self, name: &'static str, help: Message) -> Arg {
        Arg::new(name).long(name).action(ArgAction::SetTrue).help(self.say(help))
    }

    fn option(&self, name: &'static str, value: &'static str, help: Message) -> Arg {
        Arg::new(name).long(name).value_name(value).allow_hyphen_values(true).help(self.say(help))
    }

    fn refrigerant(&self) -> Arg {
        Arg::new("refrigerant")
            .required(true)
            .value_name("REFRIGERANT")
            .help(self.say(Message::new("cli-refrigerant")))
    }

    /// What every question with a gauge pressure takes.
    fn air(&self, command: Command) -> Command {
        command
            .arg(self.option("altitude", "LENGTH", Message::new("cli-altitude")).conflicts_with("barometer"))
            .arg(self.option("barometer", "PRESSURE", Message::new("cli-barometer")))
    }

    fn accuracy(&self, command: Command) -> Command {
        command
            .arg(
                self.option("gauge-accuracy", "DIFFERENCE", Message::new("cli-gauge-accuracy"))
                    .conflicts_with("gauge-u"),
            )
            .arg(self.option("gauge-u", "DIFFERENCE", Message::new("cli-gauge-u")))
            .arg(
                self.option("probe-accuracy", "DIFFERENCE", Message::new("cli-probe-accuracy"))
                    .conflicts_with("probe-u"),
            )
            .arg(self.option("probe-u", "DIFFERENCE", Message::new("cli-probe-u")))
    }

    fn composition(&self) -> Arg {
        self.option("composition", "NAME=PART,...", Message::new("cli-composition"))
    }

    fn saturation(&self) -> Command {
        let example = "gastight saturation R-448A --at 25F --at 62.5psig --altitude 1500m";
        self.air(self.question("saturation", Message::new("cli-saturation"), example))
            .arg(self.refrigerant())
            .arg(
                self.option("at", "TEMPERATURE|PRESSURE", Message::new("cli-at"))
                    .required(true)
                    .action(ArgAction::Append),
            )
            .arg(self.composition())
    }

    fn pipe(&self) -> Command {
        let example = "gastight pipe R-448A --pressure 22psig --temperature 20F --capacity 12000Btu/h --liquid 95F --tube \"7/8 in\" --length 60ft";
        self.air(self.question("pipe", Message::new("cli-pipe"), example))
            .arg(self.refrigerant())
            .arg(self.option("pressure", "PRESSURE", Message::new("cli-pipe-pressure")).required(true))
            .arg(
                self.option("temperature", "TEMPERATURE", Message::new("cli-pipe-temperature"))
                    .required(true),
            )
            .arg(self.option("mass-flow", "FLOW", Message::new("cli-pipe-mass-flow")))
            .arg(self.option("capacity", "POWER", Message::new("cli-pipe-capacity")).requires("liquid"))
            .group(clap::ArgGroup::new("amount").args(["mass-flow", "capacity"]).required(true))
            .arg(self.option("liquid", "TEMPERATURE", Message::new("cli-pipe-liquid")))
            .arg(self.option("tube", "LENGTH", Message::new("cli-pipe-tube")))
            .arg(self.option("inside", "LENGTH", Message::new("cli-pipe-inside")))
            .group(clap::ArgGroup::new("bore").args(["tube", "inside"]).required(true))
            .arg(self.option("length", "LENGTH", Message::new("cli-pipe-length")).required(true))
            .arg(self.option("rise", "LENGTH", Message::new("cli-pipe-rise")))
            .arg(self.composition())
    }

    fn state(&self) -> Command {
        let example = "gastight state R-404A --pressure 200psig --temperature 120F";
        self.air(self.question("state", Message::new("cli-state"), example))
            .arg(self.refrigerant())
            .arg(self.option("pressure", "PRESSURE", Message::new("cli-state-pressure")).required(true))
            .arg(self.option("temperature", "TEMPERATURE", Message::new("cli-state-temperature")))
            .arg(self.option("enthalpy", "ENTHALPY", Message::new("cli-state-enthalpy")))
            .arg(self.option("entropy", "ENTROPY", Message::new("cli-state-entropy")))
            .arg(self.option("quality", "PART", Message::new("cli-state-quality")))
            .group(
                clap::ArgGroup::new("second")
                    .args(["temperature", "enthalpy", "entropy", "quality"])
                    .required(true),
            )
            .arg(self.composition())
    }

    fn superheat(&self) -> Command {
        let example = "gastight superheat R-448A --suction 43.9psig --line 30F --gauge-accuracy 0.5psi --probe-accuracy 1F";
        self.accuracy(self.air(self.question("superheat", Message::new("cli-superheat"), example)))
            .arg(self.refrigerant())
            .arg(self.option("suction", "PRESSURE", Message::new("cli-suction")).required(true))
            .arg(self.option("line", "TEMPERATURE", Message::new("cli-line")).required(true))
            .arg(self.option("at-least", "DIFFERENCE", Message::new("cli-at-least")))
            .arg(self.option("at-most", "DIFFERENCE", Message::new("cli-at-most")))
            .arg(self.composition())
    }

    fn subcooling(&self) -> Command {
        let example = "gastight subcooling R-404A --liquid 201psig --line 80F";
        self.accuracy(self.air(self.question("subcooling", Message::new("cli-subcooling"), example)))
            .arg(self.refrigerant())
            .arg(self.option("liquid", "PRESSURE", Message::new("cli-liquid")).required(true))
            .arg(self.option("line", "TEMPERATURE", Message::new("cli-line")).required(true))
            .arg(self.option("at-least", "DIFFERENCE", Message::new("cli-at-least")))
            .arg(self.option("at-most", "DIFFERENCE", Message::new("cli-at-most")))
            .arg(self.composition())
    }

    fn hold(&self) -> Command {
        let example = "gastight hold --refrigerant R-404A --working 200psig --start 300psig@70F --end 286psig@50F \
                       --volume 20L --hours 24 --gauge-resolution 1psi --temperature-accuracy 0.5K --wanted 50g/yr";
        self.air(self.question("hold", Message::new("cli-hold"), example))
            .arg(self.option("refrigerant", "REFRIGERANT", Message::new("cli-refrigerant")).required(true))
            .arg(self.option("working", "PRESSURE", Message::new("cli-working")).required(true))
            .arg(self.option("working-temperature", "TEMPERATURE", Message::new("cli-working-temperature")))
            .arg(self.option("start", "PRESSURE@TEMPERATURE", Message::new("cli-start")).required(true))
            .arg(self.option("end", "PRESSURE@TEMPERATURE", Message::new("cli-end")).required(true))
            .arg(self.option("volume", "VOLUME", Message::new("cli-volume")).required(true))
            .arg(self.option("hours", "HOURS", Message::new("cli-hours")).required(true))
            .arg(self.option("gauge-resolution", "DIFFERENCE", Message::new("cli-gauge-resolution")))
            .arg(
                self.option("gauge-accuracy", "DIFFERENCE", Message::new("cli-gauge-accuracy"))
                    .conflicts_with("gauge-u"),
            )
            .arg(self.option("gauge-u", "DIFFERENCE", Message::new("cli-gauge-u")))
            .arg(
                self.option("temperature-accuracy", "DIFFERENCE", Message::new("cli-temperature-accuracy"))
                    .conflicts_with("temperature-u"),
            )
            .arg(self.option("temperature-u", "DIFFERENCE", Message::new("cli-temperature-u")))
            .arg(self.option("wanted", "LEAK", Message::new("cli-wanted")))
            .arg(self.option("settled", "DURATION", Message::new("cli-settled")))
            .arg(self.flag("liquid-present", Message::new("cli-liquid-present")))
    }

    fn rise(&self) -> Command {
        let example = "gastight rise rise.csv --volume 20L --coldest 5C";
        self.air(self.question("rise", Message::new("cli-rise"), example))
            .arg(
                Arg::new("file")
                    .required(true)
                    .value_name("FILE")
                    .help(self.say(Message::new("cli-rise-file"))),
            )
            .arg(self.option("volume", "VOLUME", Message::new("cli-volume")).required(true))
            .arg(self.option("coldest", "TEMPERATURE", Message::new("cli-coldest-wall")))
            .arg(self.option("limit", "PRESSURE", Message::new("cli-rise-limit")))
            .arg(
                self.option("gauge-accuracy", "DIFFERENCE", Message::new("cli-gauge-accuracy"))
                    .conflicts_with("gauge-u"),
            )
            .arg(self.option("gauge-u", "DIFFERENCE", Message::new("cli-gauge-u")))
    }

    fn cylinder(&self) -> Command {
        let example = "gastight cylinder R-404A --water-capacity 47.7lb --tare 27lb";
        self.question("cylinder", Message::new("cli-cylinder"), example)
            .arg(self.refrigerant())
            .arg(self.option("water-capacity", "MASS", Message::new("cli-water-capacity")).required(true))
            .arg(self.option("tare", "MASS", Message::new("cli-tare")).required(true))
            .arg(self.option("gross", "MASS", Message::new("cli-gross")))
            .arg(self.composition())
    }

    fn receiver(&self) -> Command {
        let example = "gastight receiver R-404A --volume 0.5ft3 --hottest 125F --fill 0.8";
        self.question("receiver", Message::new("cli-receiver"), example)
            .arg(self.refrigerant())
            .arg(self.option("volume", "VOLUME", Message::new("cli-receiver-volume")).required(true))
            .arg(self.option("hottest", "TEMPERATURE", Message::new("cli-hottest")).required(true))
            .arg(self.option("fill", "PART", Message::new("cli-fill")))
            .arg(self.option("charge", "MASS", Message::new("cli-receiver-charge")))
            .arg(self.composition())
    }

    fn winter(&self) -> Command {
        let example = "gastight winter R-404A --condenser-volume 0.35ft3 --design-split 15F --head-setting 90F --coldest 0F";
        self.question("winter", Message::new("cli-winter"), example)
            .arg(self.refrigerant())
            .arg(
                self.option("condenser-volume", "VOLUME", Message::new("cli-condenser-volume"))
                    .required(true),
            )
            .arg(self.option("design-split", "DIFFERENCE", Message::new("cli-design-split")).required(true))
            .arg(self.option("head-setting", "TEMPERATURE", Message::new("cli-head-setting")).required(true))
            .arg(self.option("coldest", "TEMPERATURE", Message::new("cli-coldest-day")).required(true))
            .arg(self.option("liquid", "TEMPERATURE", Message::new("cli-winter-liquid")))
            .arg(self.composition())
    }

    fn cold_box(&self) -> Command {
        let example = "gastight box --length 10ft --width 10ft --height 8ft --insulation 4in --inside 38F --limit 41F --goods 600lb";
        self.question("box", Message::new("cli-box"), example)
            .arg(self.option("length", "LENGTH", Message::new("cli-box-length")).required(true))
            .arg(self.option("width", "LENGTH", Message::new("cli-box-width")).required(true))
            .arg(self.option("height", "LENGTH", Message::new("cli-box-height")).required(true))
            .arg(
                self.option("insulation", "LENGTH", Message::new("cli-box-insulation")).default_value("4 in"),
            )
            .arg(self.option("inside", "TEMPERATURE", Message::new("cli-box-inside")).required(true))
            .arg(self.option("around", "TEMPERATURE", Message::new("cli-box-around")).default_value("75 F"))
            .arg(self.option("limit", "TEMPERATURE", Message::new("cli-box-limit")))
            .arg(self.option("target", "TEMPERATURE", Message::new("cli-box-target")).requires("capacity"))
            .arg(self.option("capacity", "POWER", Message::new("cli-box-capacity")).requires("target"))
            .arg(self.option("goods", "MASS", Message::new("cli-box-goods")))
            .arg(self.option("besides", "POWER", Message::new("cli-box-besides")))
    }

    fn batch(&self) -> Command {
        let example = "gastight batch saturation --input readings.csv --output answers.csv";
        let saturation = Command::new("saturation")
            .about(self.say(Message::new("cli-batch-saturation")))
            .after_help(self.say(Message::new("cli-example").with("example", example)))
            .arg(self.option("input", "FILE", Message::new("cli-batch-input")).required(true))
            .arg(self.option("output", "FILE", Message::new("cli-batch-output")).required(true));
        Command::new("batch")
            .about(self.say(Message::new("cli-batch")))
            .subcommand_required(true)
            .subcommand(self.air(saturation))
    }

    fn fractionation(&self) -> Command {
        let example = "gastight fractionation R-448A --lost 30% --at 25C --from vapour";
        self.air(self.question("fractionation", Message::new("cli-fractionation"), example))
            .arg(self.refrigerant())
            .arg(self.option("lost", "PART", Message::new("cli-fractionation-lost")).required(true))
            .arg(self.option("at", "TEMPERATURE", Message::new("cli-fractionation-at")).required(true))
            .arg(self.option("from", "PHASE", Message::new("cli-fractionation-from")).required(true))
            .arg(self.option("vapour", "PART", Message::new("cli-fractionation-vapour")))
            .arg(self.composition())
    }

    fn outflow(&self) -> Command {
        let example = "gastight outflow R-448A --at 45C --from liquid --hole 0.1mm";
        self.air(self.question("outflow", Message::new("cli-outflow"), example))
            .arg(self.refrigerant())
            .arg(self.option("at", "TEMPERATURE", Message::new("cli-outflow-at")).required(true))
            .arg(
                self.option("from", "PHASE", Message::new("cli-outflow-from"))
                    .conflicts_with_all(["quality", "pressure"]),
            )
            .arg(
                self.option("quality", "PART", Message::new("cli-outflow-quality"))
                    .conflicts_with("pressure"),
            )
            .arg(self.option("pressure", "PRESSURE", Message::new("cli-outflow-pressure")))
            .group(clap::ArgGroup::new("behind").args(["from", "quality", "pressure"]).required(true))
            .arg(self.option("hole", "LENGTH", Message::new("cli-outflow-hole")))
            .arg(self.option("coefficient", "PART", Message::new("cli-outflow-coefficient")))
            .arg(self.option("outside", "PRESSURE", Message::new("cli-outflow-outside")))
            .arg(self.option("test", "PRESSURE", Message::new("cli-outflow-test")))
            .arg(self.composition())
    }

    fn displays(&self) -> Command {
        let example = "gastight displays R-404A --pressure 57.4psig --first 23F --second 22F";
        let command = self
            .air(self.question("displays", Message::new("cli-displays"), example))
            .arg(self.refrigerant())
            .arg(self.option("pressure", "PRESSURE", Message::new("cli-displays-pressure")).required(true))
            .arg(self.option("first", "TEMPERATURE", Message::new("cli-displays-first")).required(true))
            .arg(self.option("second", "TEMPERATURE", Message::new("cli-displays-second")).required(true))
            .arg(self.option("step", "DIFFERENCE", Message::new("cli-displays-step")))
            .arg(self.option("drop", "DIFFERENCE", Message::new("cli-displays-drop")));
        command
            .arg(
                self.option("gauge-accuracy", "DIFFERENCE", Message::new("cli-gauge-accuracy"))
                    .conflicts_with("gauge-u"),
            )
            .arg(self.option("gauge-u", "DIFFERENCE", Message::new("cli-gauge-u")))
            .arg(self.composition())
    }

    fn pulldown(&self) -> Command {
        let example =
            "gastight pulldown R-404A --stalled 4psig --head 203psig --lowest-suction 10F --rise 6psi/3min";
        self.air(self.question("pulldown", Message::new("cli-pulldown"), example))
            .arg(self.refrigerant())
            .arg(self.option("stalled", "PRESSURE", Message::new("cli-pulldown-stalled")).required(true))
            .arg(self.option("head", "PRESSURE", Message::new("cli-pulldown-head")).required(true))
            .arg(self.option("lowest-suction", "TEMPERATURE", Message::new("cli-pulldown-lowest")))
            .arg(self.option("cut-in", "PRESSURE", Message::new("cli-pulldown-cut-in")))
            .arg(self.option("rise", "DIFFERENCE/TIME", Message::new("cli-pulldown-rise")))
            .arg(self.option("second-rise", "DIFFERENCE/TIME", Message::new("cli-pulldown-second")))
            .arg(self.option("later-rise", "DIFFERENCE/TIME", Message::new("cli-pulldown-later")))
            .arg(self.option("suction-rise", "DIFFERENCE/TIME", Message::new("cli-pulldown-suction")))
            .arg(self.composition())
    }

    fn opening(&self) -> Command {
        let example = "gastight opening R-404A --volume 12L --temperature 62F --bore 4.8mm --open-for 5s --pressure 10psig";
        self.air(self.question("opening", Message::new("cli-opening"), example))
            .arg(self.refrigerant())
            .arg(self.option("volume", "VOLUME", Message::new("cli-opening-volume")).required(true))
            .arg(
                self.option("temperature", "TEMPERATURE", Message::new("cli-opening-temperature"))
                    .required(true),
            )
            .arg(self.option("bore", "LENGTH", Message::new("cli-opening-bore")).required(true))
            .arg(self.option("open-for", "TIME", Message::new("cli-opening-open-for")).required(true))
            .arg(self.option("pressure", "PRESSURE", Message::new("cli-opening-pressure")))
            .arg(self.option("rise", "DIFFERENCE", Message::new("cli-opening-rise")).requires("rise-time"))
            .arg(self.option("rise-time", "TIME", Message::new("cli-opening-rise-time")).requires("rise"))
            .arg(self.option("residue", "MASS", Message::new("cli-opening-residue")).requires("rise"))
            .arg(self.composition())
    }

    fn recovery(&self) -> Command {
        let example = "gastight recovery R-404A --volume 60L --temperature 70F --machine 2cfm --liquid 5lb --charge 27lb --cylinder 7A=20lb --cylinder 7B=6lb:R-404A";
        let cylinder =
            self.option("cylinder", "NAME=ROOM[:REFRIGERANT]", Message::new("cli-recovery-cylinder"));
        self.air(self.question("recovery", Message::new("cli-recovery"), example))
            .arg(self.refrigerant())
            .arg(self.option("volume", "VOLUME", Message::new("cli-recovery-volume")).required(true))
            .arg(
                self.option("temperature", "TEMPERATURE", Message::new("cli-recovery-temperature"))
                    .required(true),
            )
            .arg(self.option("machine", "FLOW", Message::new("cli-recovery-machine")).required(true))
            .arg(self.option("pressure", "PRESSURE", Message::new("cli-recovery-pressure")))
            .arg(self.option("end", "PRESSURE", Message::new("cli-recovery-end")))
            .arg(self.option("liquid", "MASS", Message::new("cli-recovery-liquid")))
            .arg(self.flag("warmed", Message::new("cli-recovery-warmed")))
            .arg(self.option("charge", "MASS", Message::new("cli-recovery-charge")))
            .arg(cylinder.action(ArgAction::Append))
            .arg(self.composition())
    }

    fn evacuation(&self) -> Command {
        let example = "gastight evacuation --volume 20L --pump 6cfm --hose 8mm --hose-length 1.5m --target 500micron --water 10g --coldest 35F";
        let hoses = self.option("hoses", "COUNT", Message::new("cli-evacuation-hoses"));
        self.question("evacuation", Message::new("cli-evacuation"), example)
            .arg(self.option("volume", "VOLUME", Message::new("cli-evacuation-volume")).required(true))
            .arg(self.option("pump", "FLOW", Message::new("cli-evacuation-pump")).required(true))
            .arg(self.option("hose", "LENGTH", Message::new("cli-evacuation-hose")).required(true))
            .arg(
                self.option("hose-length", "LENGTH", Message::new("cli-evacuation-hose-length"))
                    .required(true),
            )
            .arg(hoses.default_value("1").value_parser(clap::value_parser!(u32).range(1..=8)))
            .arg(self.flag("cores-in", Message::new("cli-evacuation-cores-in")))
            .arg(self.option("target", "PRESSURE", Message::new("cli-evacuation-target")).required(true))
            .arg(self.option("ultimate", "PRESSURE", Message::new("cli-evacuation-ultimate")))
            .arg(self.option("temperature", "TEMPERATURE", Message::new("cli-evacuation-temperature")))
            .arg(self.option("water", "MASS", Message::new("cli-evacuation-water")).requires("coldest"))
            .arg(self.option("coldest", "TEMPERATURE", Message::new("cli-evacuation-coldest")))
    }

    fn refrigerants(&self) -> Command {
        self.question("refrigerants", Message::new("cli-refrigerants"), "gastight refrigerants --json")
    }

    fn job(&self) -> Command {
        let file = || {
            Arg::new("file")
                .required(true)
                .num_args(1..)
                .value_name("FILE")
                .help(self.say(Message::new("cli-job-file")))
        };
        let which = || self.option("job", "ID", Message::new("cli-job-id"));
        Command::new("job")
            .about(self.say(Message::new("cli-job")))
            .subcommand_required(true)
            .arg_required_else_help(true)
            .disable_help_subcommand(true)
            .subcommand(
                self.question("check", Message::new("cli-job-check"), "gastight job check visit.toml")
                    .arg(file())
                    .arg(which()),
            )
            .subcommand(
                self.question(
                    "report",
                    Message::new("cli-job-report"),
                    "gastight job report visit.toml --format html --output visit.html",
                )
                .arg(file())
                .arg(which())
                .arg(
                    self.option("format", "text|html|pdf|json", Message::new("cli-format"))
                        .value_parser(["text", "html", "pdf", "json"])
                        .default_value("text"),
                )
                .arg(self.paper())
                .arg(self.option("output", "PATH", Message::new("cli-output"))),
            )
            .subcommand(
                self.question(
                    "events",
                    Message::new("cli-job-events"),
                    "gastight job events visit.toml > visit.jsonl",
                )
                .arg(file())
                .arg(which()),
            )
            .subcommand(
                self.question(
                    "parts",
                    Message::new("parts-cli"),
                    "gastight job parts visit.toml --format csv --output order.csv",
                )
                .arg(self.option("prices", "FILE", Message::new("bill-cli-prices")))
                .arg(
                    self.option("format", "text|html|pdf|csv", Message::new("bill-cli-format"))
                        .value_parser(["text", "html", "pdf", "csv"])
                        .default_value("text"),
                )
                .arg(self.paper())
                .arg(self.van())
                .arg(self.option("output", "PATH", Message::new("cli-output")))
                .arg(file())
                .arg(which()),
            )
            .subcommand(
                self.question(
                    "sheet",
                    Message::new("sheet-cli"),
                    "gastight job sheet visit.toml --what customer --format html --output customer.html",
                )
                .arg(
                    self.option("what", "SHEET", Message::new("sheet-cli-what"))
                        .required(true)
                        .value_parser(job::sheet::Sheet::NAMES),
                )
                .arg(
                    self.option("format", "text|html|pdf", Message::new("paper-cli-format"))
                        .value_parser(["text", "html", "pdf"])
                        .default_value("text"),
                )
                .arg(self.paper())
                .arg(self.van())
                .arg(self.option("output", "PATH", Message::new("cli-output")))
                .arg(file())
                .arg(which()),
            )
            .subcommand(
                self.question(
                    "van",
                    Message::new("van-cli"),
                    "gastight job van van.toml monday.toml tuesday.jsonl --format csv",
                )
                .arg(
                    self.option("format", "text|html|csv|pdf", Message::new("van-cli-format"))
                        .value_parser(["text", "html", "csv", "pdf"])
                        .default_value("text"),
                )
                .arg(self.paper())
                .arg(self.option("output", "PATH", Message::new("cli-output")))
                .arg(file()),
            )
            .subcommand(
                self.question(
                    "stage",
                    Message::new("stage-cli"),
                    "gastight job stage visit.toml --which decide --prices examples/prices.toml",
                )
                .arg(
                    self.option("which", "STAGE", Message::new("stage-cli-which"))
                        .required(true)
                        .value_parser(job::stage::Stage::ALL.map(job::stage::Stage::key)),
                )
                .arg(self.option("at", "WHEN", Message::new("stage-cli-at")))
                .arg(self.option("prices", "FILE", Message::new("bill-cli-prices")))
                .arg(self.van())
                .arg(
                    self.option("format", "text|html|pdf", Message::new("paper-cli-format"))
                        .value_parser(["text", "html", "pdf"])
                        .default_value("text"),
                )
                .arg(self.paper())
                .arg(self.option("output", "PATH", Message::new("cli-output")))
                .arg(file())
                .arg(which()),
            )
            .subcommand(
                self.question(
                    "take",
                    Message::new("take-cli"),
                    "gastight job take visit.toml --table log.csv --time Time --column \"Suction=suction_pressure psig\"",
                )
                .arg(self.option("table", "CSV", Message::new("take-cli-table")).required(true))
                .arg(self.option("time", "HEAD", Message::new("take-cli-time")))
                .arg(
                    self.option("column", "HEAD=FIELD UNIT", Message::new("take-cli-column"))
                        .action(ArgAction::Append),
                )
                .arg(
                    self.option("days", "first|second", Message::new("take-cli-days"))
                        .value_parser(["first", "second"]),
                )
                .arg(self.option("state", "STATE", Message::new("take-cli-state")))
                .arg(
                    self.option("kind", "KIND", Message::new("take-cli-kind")).value_parser(job::take::KINDS),
                )
                .arg(
                    self.option("set", "FIELD=TEXT", Message::new("take-cli-set")).action(ArgAction::Append),
                )
                .arg(self.option("every", "TIME", Message::new("take-cli-every")))
                .arg(file())
                .arg(which()),
            )
            .subcommand(
                self.question(
                    "follow-up",
                    Message::new("follow-cli"),
                    "gastight job follow-up visit.toml --ics follow-up.ics",
                )
                .arg(self.option("ics", "PATH", Message::new("follow-cli-ics")))
                .arg(file())
                .arg(which()),
            )
            .subcommand(
                self.bill(self.question(
                    "quote",
                    Message::new("bill-cli-quote"),
                    "gastight job quote visit.toml --number Q-31",
                ))
                .arg(self.option("option", "NAME", Message::new("bill-cli-option")).requires("number"))
                .arg(file())
                .arg(which()),
            )
            .subcommand(
                self.bill(self.question(
                    "invoice",
                    Message::new("bill-cli-invoice"),
                    "gastight job invoice visit.toml --prices prices.toml --json",
                ))
                .arg(self.flag("whole-call", Message::new("bill-cli-whole")))
                .arg(self.flag("owner", Message::new("bill-cli-owner")).conflicts_with("number"))
                .arg(file())
                .arg(which()),
            )
    }

    /// What quote and invoice have in common.
    fn bill(&self, command: Command) -> Command {
        command
            .arg(self.option("prices", "FILE", Message::new("bill-cli-prices")))
            .arg(self.option("number", "NUMBER", Message::new("bill-cli-number")))
            .arg(self.option("corrects", "NUMBER", Message::new("bill-cli-corrects")).requires("number"))
            .arg(
                self.option("format", "text|html|pdf|csv|json", Message::new("bill-cli-format"))
                    .value_parser(["text", "html", "pdf", "csv", "json"])
                    .default_value("text"),
            )
            .arg(self.paper())
            .arg(self.option("output", "PATH", Message::new("cli-output")))
    }

    /// Files that tell what is on the van.
    fn van(&self) -> Arg {
        self.option("van", "FILE", Message::new("van-cli-files")).action(ArgAction::Append)
    }

    /// The size of the sheets of a printed document.
    fn paper(&self) -> Arg {
        self.option("paper", "letter|a4", Message::new("paper-cli-size"))
            .value_parser(["letter", "a4"])
            .default_value("letter")
    }

    fn duties(&self) -> Command {
        let example = "gastight duties visit.toml --on 2027-01-15 --within 60d --ics due.ics";
        self.question("duties", Message::new("law-cli"), example)
            .arg(
                Arg::new("file")
                    .required(true)
                    .num_args(1..)
                    .value_name("FILE")
                    .help(self.say(Message::new("law-cli-file"))),
            )
            .arg(self.option("on", "DATE", Message::new("law-cli-on")))
            .arg(
                self.option("format", "text|html", Message::new("law-cli-format"))
                    .value_parser(["text", "html"])
                    .default_value("text"),
            )
            .arg(self.option("within", "TIME", Message::new("law-cli-within")))
            .arg(self.option("ics", "PATH", Message::new("law-cli-ics")))
            .arg(self.option("law", "FILE", Message::new("law-cli-law")).action(ArgAction::Append))
    }

    fn completions(&self) -> Command {
        let shell = Arg::new("shell")
            .required(true)
            .value_name("SHELL")
            .value_parser(["bash", "zsh", "fish", "powershell", "elvish"])
            .help(self.say(Message::new("cli-completions-shell")));
        self.question("completions", Message::new("cli-completions"), "gastight completions bash").arg(shell)
    }
}
