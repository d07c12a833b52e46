//! Saturation of many readings: a table of comma-separated values in, another out, row for row in the same order.
//!
//! The file is taken in rounds of one block for each core, so that memory stays flat however long it is.

use crate::Outcome;
use crate::options::Options;
use job::Refused;
use job::ask::batch::Batch;
use report::Message;
use std::borrow::Cow;
use std::fs::File;
use std::io::{BufRead, BufReader, BufWriter, IsTerminal, Read, Write};
use std::sync::atomic::{AtomicUsize, Ordering};
use units::Atmosphere;
use wording::Wording;

const HEAD: &str = "refrigerant,given,bubble_temperature_k,bubble_pressure_pa,dew_temperature_k,dew_pressure_pa,\
                    bubble_density_kg_m3,dew_density_kg_m3,error\n";

/// Bytes of a block; its last line is completed.
const BLOCK: usize = 1 << 19;

/// Bad rows that are named one by one.
const NAMED: usize = 20;

/// Which columns of the input hold what.
#[derive(Clone, Copy)]
struct Columns {
    refrigerant: usize,
    given: usize,
}

/// What a block gave.
struct Done {
    text: String,
    lines: usize,
    /// Lines within the block that have no answer, and why.
    bad: Vec<(usize, String)>,
    all_bad: usize,
}

/// Answers `gastight batch saturation`.
pub fn run(options: &Options<'_>, wording: &Wording) -> Result<Outcome, Refused> {
    let air = options.air()?;
    let (from, to) = (options.text("input").unwrap_or_default(), options.text("output").unwrap_or_default());
    let cannot_read = |why: String| {
        Refused::new("cannot_read", "--input", from, "", Message::new("batch-no-read").with("why", why))
    };
    let cannot_write = |why: String| {
        Refused::new("cannot_write", "--output", to, "", Message::new("cli-no-write").with("why", why))
    };
    let file = File::open(from).map_err(|e| cannot_read(e.to_string()))?;
    let size = file.metadata().map_or(0, |about| about.len());
    if std::fs::canonicalize(to).is_ok_and(|to| std::fs::canonicalize(from).is_ok_and(|from| from == to)) {
        return Err(Refused::new("same_file", "--output", to, "", Message::new("batch-same-file")));
    }
    let mut input = BufReader::with_capacity(1 << 16, file);
    let mut head = String::new();
    let mut taken = input.read_line(&mut head).map_err(|e| cannot_read(e.to_string()))? as u64;
    let columns = columns(&head)?;
    let out = File::create(to).map_err(|e| cannot_write(e.to_string()))?;
    let mut out = BufWriter::with_capacity(1 << 16, out);
    out.write_all(HEAD.as_bytes()).map_err(|e| cannot_write(e.to_string()))?;

    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let mut workers: Vec<Batch> = (0..cores).map(|_| Batch::default()).collect();
    let language = wording.language().to_owned();
    let show = std::io::stderr().is_terminal();
    let (mut rows, mut all_bad, mut line) = (0, 0, 2);
    let mut named: Vec<(usize, String)> = Vec::new();
    loop {
        let mut blocks = Vec::with_capacity(cores);
        for _ in 0..cores {
            let block = block(&mut input).map_err(|e| cannot_read(e.to_string()))?;
            if block.is_empty() {
                break;
            }
            taken += block.len() as u64;
            blocks.push(block);
        }
        if blocks.is_empty() {
            break;
        }
        if rows == 0 {
            make_tables(&blocks[0], columns, cores);
        }
        let done: Vec<Option<Done>> = std::thread::scope(|scope| {
            let threads: Vec<_> = blocks
                .iter()
                .zip(&mut workers)
                .map(|(block, batch)| {
                    let language = language.as_str();
                    scope.spawn(move || work(block, columns, batch, air, language))
                })
                .collect();
            threads.into_iter().map(|thread| thread.join().ok()).collect()
        });
        for done in done {
            let done = done.ok_or_else(|| cannot_read("a worker ended".to_owned()))?;
            out.write_all(done.text.as_bytes()).map_err(|e| cannot_write(e.to_string()))?;
            named.extend(
                done.bad.into_iter().take(NAMED - named.len().min(NAMED)).map(|(at, why)| (line + at, why)),
            );
            rows += done.lines;
            all_bad += done.all_bad;
            line += done.lines;
        }
        if show {
            bar(taken, size);
        }
    }
    out.flush().map_err(|e| cannot_write(e.to_string()))?;
    if show {
        eprintln!();
    }
    let mut text = String::new();
    for (at, why) in &named {
        let sentence = Message::new("batch-bad-row").with("line", at.to_string()).with("why", why.as_str());
        text.push_str(&wording.say(&sentence));
        text.push('\n');
    }
    if all_bad > named.len() {
        let rest = Message::new("batch-more").with("count", (all_bad - named.len()).to_string());
        text.push_str(&wording.say(&rest));
        text.push('\n');
    }
    let sum = Message::new("batch-done")
        .with("rows", rows.to_string())
        .with("bad", all_bad.to_string())
        .with("path", to);
    text.push_str(&wording.say(&sum));
    text.push('\n');
    Ok(Outcome { text, failed: all_bad > 0 })
}

/// Makes the tables of the refrigerants that the first lines name, a core each; else all cores would wait for one that
/// makes them one after another. One that comes later is made when it is met.
fn make_tables(block: &[u8], columns: Columns, cores: usize) {
    const LINES: usize = 2000;
    let text = String::from_utf8_lossy(block);
    let mut fields = Vec::new();
    let mut names: Vec<String> = Vec::new();
    for line in text.lines().take(LINES) {
        split(line, &mut fields);
        let name = fields.get(columns.refrigerant).map_or("", |name| name.trim());
        if !names.iter().any(|have| have == name) {
            names.push(name.to_owned());
        }
    }
    let next = AtomicUsize::new(0);
    std::thread::scope(|scope| {
        for _ in 0..cores.min(names.len()) {
            scope.spawn(|| {
                while let Some(name) = names.get(next.fetch_add(1, Ordering::Relaxed)) {
                    Batch::make_table(name);
                }
            });
        }
    });
}

/// Returns the next block of whole lines, empty at the end.
fn block(input: &mut BufReader<File>) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::with_capacity(BLOCK + 256);
    input.by_ref().take(BLOCK as u64).read_to_end(&mut bytes)?;
    if !bytes.is_empty() && bytes.last() != Some(&b'\n') {
        input.read_until(b'\n', &mut bytes)?;
    }
    Ok(bytes)
}

fn columns(head: &str) -> Result<Columns, Refused> {
    let head = head.trim_start_matches('\u{feff}').trim_end();
    let mut fields = Vec::new();
    split(head, &mut fields);
    let find = |name: &str| fields.iter().position(|field| field.trim().eq_ignore_ascii_case(name));
    match (find("refrigerant"), find("given")) {
        (Some(refrigerant), Some(given)) => Ok(Columns { refrigerant, given }),
        _ => Err(Refused::new(
            "no_columns",
            "--input",
            head,
            "refrigerant,given",
            Message::new("batch-no-columns").with("head", head),
        )),
    }
}

/// Splits a line at its commas; a field in quotes may hold them, and two quotes stand for one.
fn split<'a>(line: &'a str, fields: &mut Vec<Cow<'a, str>>) {
    fields.clear();
    let mut rest = line;
    loop {
        if let Some(quoted) = rest.strip_prefix('"') {
            let mut field = String::new();
            let mut tail = quoted;
            while let Some(end) = tail.find('"') {
                field.push_str(&tail[..end]);
                tail = &tail[end + 1..];
                if let Some(more) = tail.strip_prefix('"') {
                    field.push('"');
                    tail = more;
                } else {
                    break;
                }
            }
            fields.push(Cow::Owned(field));
            match tail.split_once(',') {
                Some((_, next)) => rest = next,
                None => return,
            }
        } else {
            match rest.split_once(',') {
                Some((field, next)) => {
                    fields.push(Cow::Borrowed(field));
                    rest = next;
                }
                None => {
                    fields.push(Cow::Borrowed(rest));
                    return;
                }
            }
        }
    }
}

fn work(block: &[u8], columns: Columns, batch: &mut Batch, air: Atmosphere, language: &str) -> Done {
    // Sentences are made here, where the row is bad; most blocks never need the catalogue.
    let mut wording: Option<Wording> = None;
    let mut done =
        Done { text: String::with_capacity(4 * block.len()), lines: 0, bad: Vec::new(), all_bad: 0 };
    let block = String::from_utf8_lossy(block);
    let mut fields = Vec::new();
    for line in block.split_inclusive('\n') {
        let line = line.trim_end_matches(['\n', '\r']);
        let at = done.lines;
        done.lines += 1;
        split(line, &mut fields);
        let get = |column: usize| fields.get(column).map_or("", |field| field.trim());
        let (refrigerant, given) = (get(columns.refrigerant), get(columns.given));
        field(&mut done.text, refrigerant);
        done.text.push(',');
        field(&mut done.text, given);
        match batch.row(refrigerant, given, air) {
            Ok(row) => {
                for (value, decimals) in [
                    (row.bubble_temperature_k, 4),
                    (row.bubble_pressure_pa, 1),
                    (row.dew_temperature_k, 4),
                    (row.dew_pressure_pa, 1),
                    (row.bubble_density_kg_m3, 4),
                    (row.dew_density_kg_m3, 4),
                ] {
                    done.text.push(',');
                    fixed(&mut done.text, value, decimals);
                }
                done.text.push_str(",\n");
            }
            Err(refused) => {
                let wording = wording.get_or_insert_with(|| Wording::new(language));
                let why = wording.say(&refused.message);
                done.text.push_str(",,,,,,,");
                field(&mut done.text, &why);
                done.text.push('\n');
                done.all_bad += 1;
                if done.bad.len() < NAMED {
                    done.bad.push((at, why));
                }
            }
        }
    }
    done
}

/// Writes a positive number with up to four decimals.
///
/// The exact writing of the standard library takes half the time of a whole batch; a unit in the last place here is far
/// below what a table is good for.
fn fixed(out: &mut String, value: f64, decimals: usize) {
    let scale = [1.0, 10.0, 100.0, 1e3, 1e4][decimals];
    let scaled = (value * scale).round();
    if !(0.0..1e15).contains(&scaled) {
        out.push_str(&format!("{value:.decimals$}"));
        return;
    }
    let mut rest = scaled as u64;
    // Digits from the last to the first.
    let mut digits = [b'0'; 24];
    let mut at = digits.len();
    let mut written = 0;
    while rest > 0 || written <= decimals {
        if written == decimals && decimals > 0 {
            at -= 1;
            digits[at] = b'.';
        }
        at -= 1;
        digits[at] = b'0' + (rest % 10) as u8;
        rest /= 10;
        written += 1;
    }
    out.push_str(std::str::from_utf8(&digits[at..]).unwrap_or_default());
}

/// Writes a field, in quotes where it needs them.
fn field(out: &mut String, text: &str) {
    if text.contains([',', '"', '\n', '\r']) {
        out.push('"');
        out.push_str(&text.replace('"', "\"\""));
        out.push('"');
    } else {
        out.push_str(text);
    }
}

fn bar(taken: u64, size: u64) {
    const WIDTH: u64 = 40;
    let percent = (100 * taken).checked_div(size).unwrap_or(100).min(100);
    let full = WIDTH * percent / 100;
    let (full, empty) = ("#".repeat(full as usize), "-".repeat((WIDTH - full) as usize));
    // The terminal may be gone; the answer stands in the file.
    let _ = write!(std::io::stderr(), "\r{full}{empty} {percent:3} %");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quotes_hold_commas_and_quotes() {
        let mut fields = Vec::new();
        split("R-404A,\"4,5 bar\",\"a \"\"b\"\"\",", &mut fields);
        assert_eq!(fields, ["R-404A", "4,5 bar", "a \"b\"", ""]);
        let mut out = String::new();
        field(&mut out, "a \"b\", c");
        assert_eq!(out, "\"a \"\"b\"\", c\"");
    }

    #[test]
    fn numbers_are_written_as_the_library_writes_them() {
        for value in [0.0, 0.04, 0.96, 1.0, 9.99994, 99.996, 255.3722, 307.12551, 1_625_066.4, 2.5e9] {
            for decimals in [1, 4] {
                let mut out = String::new();
                fixed(&mut out, value, decimals);
                assert_eq!(out, format!("{value:.decimals$}"));
            }
        }
        let mut out = String::new();
        fixed(&mut out, f64::NAN, 1);
        assert_eq!(out, "NaN");
    }

    #[test]
    fn a_head_names_its_columns_in_any_order() {
        let columns = columns("\u{feff}site, Given ,Refrigerant\r\n").unwrap();
        assert_eq!((columns.refrigerant, columns.given), (2, 1));
        assert!(super::columns("refrigerant;given\n").is_err());
    }
}
