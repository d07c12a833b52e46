//! A log as a table that the engine reads once, front to back, while a thread reads the rows.

use crate::rows::{Order, Rows, schema, seconds};
use crate::watch::Gases;
use crate::{Fault, Layout, Tally};
use datafusion::arrow::array::RecordBatch;
use datafusion::arrow::datatypes::SchemaRef;
use datafusion::catalog::streaming::StreamingTable;
use datafusion::common::{DataFusionError, Result as Done};
use datafusion::execution::{SendableRecordBatchStream, TaskContext};
use datafusion::logical_expr::col;
use datafusion::physical_plan::stream::RecordBatchStreamAdapter;
use datafusion::physical_plan::streaming::PartitionStream;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::sync::{Arc, Mutex};
use tokio::sync::mpsc::{Receiver, Sender, channel};
use units::Atmosphere;

/// Batches on their way from the reader: few, so that a slow plan slows the reader and memory stays flat.
const ON_THE_WAY: usize = 4;
/// Rows at the head of a log by which its order is told.
const LOOKED_AT: usize = 4000;

/// What the engine reads: the receiving end of a thread's batches, taken once.
struct Once {
    schema: SchemaRef,
    batches: Mutex<Option<Receiver<Done<RecordBatch>>>>,
}

impl core::fmt::Debug for Once {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.write_str("a log, read once")
    }
}

impl PartitionStream for Once {
    fn schema(&self) -> &SchemaRef {
        &self.schema
    }

    fn execute(&self, _: Arc<TaskContext>) -> SendableRecordBatchStream {
        let taken = self.batches.lock().unwrap_or_else(std::sync::PoisonError::into_inner).take();
        let stream = futures::stream::unfold(taken, |receiver| async move {
            match receiver {
                None => Some((Err(DataFusionError::Execution("the log was read already".to_owned())), None)),
                Some(mut receiver) => receiver.recv().await.map(|batch| (batch, Some(receiver))),
            }
        });
        // An end of the rows is an end; only a second reading is a fault.
        Box::pin(RecordBatchStreamAdapter::new(schema(), futures::StreamExt::fuse(Box::pin(stream))))
    }
}

/// Returns a table of what comes through `batches`, in the order stated.
pub(crate) fn table(batches: Receiver<Done<RecordBatch>>, order: Order) -> Result<StreamingTable, Fault> {
    let once = Once { schema: schema(), batches: Mutex::new(Some(batches)) };
    let table = StreamingTable::try_new(schema(), vec![Arc::new(once)]).map_err(Fault::engine)?;
    let by = |name: &str| col(name).sort(true, false);
    Ok(match order {
        Order::Time => table.with_sort_order(vec![by("time")]),
        Order::System => table.with_sort_order(vec![by("system"), by("time")]),
        Order::None => table,
    })
}

/// Returns a way for batches.
pub(crate) fn way() -> (Sender<Done<RecordBatch>>, Receiver<Done<RecordBatch>>) {
    channel(ON_THE_WAY)
}

/// What a log's reading needs.
pub(crate) struct Log<'a> {
    pub map: Option<&'a str>,
    pub air: Atmosphere,
    pub only: &'a str,
    pub gases: Gases,
    pub bad_to: Option<Box<dyn Write + Send>>,
    pub tally: Arc<Mutex<Tally>>,
    /// Take the order for none, whatever the head of the log looks like.
    pub unordered: bool,
}

/// Starts to read a CSV and returns its table and the thread.
pub(crate) fn csv(
    path: &Path,
    input: Box<dyn Read + Send>,
    log: Log<'_>,
) -> Result<(StreamingTable, std::thread::JoinHandle<Result<(), String>>), Fault> {
    let unreadable = |why: String| Fault::file("--input", path, why);
    let mut input = BufReader::with_capacity(1 << 18, input);
    let mut head = String::new();
    // A head of a megabyte is no head.
    input.by_ref().take(1 << 20).read_line(&mut head).map_err(|e| unreadable(e.to_string()))?;
    let head = head.trim_start_matches('\u{feff}').trim_end().to_owned();
    let mark = [b',', b';', b'\t'].into_iter().max_by_key(|m| head.bytes().filter(|b| b == m).count());
    let mark = mark.unwrap_or(b',');
    let split = |has_headers: bool| {
        let mut builder = ::csv::ReaderBuilder::new();
        builder.delimiter(mark).flexible(true).trim(::csv::Trim::All).has_headers(has_headers);
        builder
    };
    let heads: Vec<String> = match split(false).from_reader(head.as_bytes()).records().next() {
        Some(Ok(record)) => record.iter().map(str::to_owned).collect(),
        Some(Err(error)) => return Err(unreadable(error.to_string())),
        None => return Err(unreadable("0 B".to_owned())),
    };
    let layout = match log.map {
        Some(text) => Layout::of_map(text, &heads, log.air)?,
        None => Layout::of_heads(&heads, log.air)?,
    };
    let mut reader = split(false).from_reader(input);
    let at = |name: Option<&String>| name.and_then(|name| heads.iter().position(|head| head == name));
    let (time_at, system_at) = (at(Some(&layout.time)), at(layout.system.as_ref()));
    let mut first: Vec<::csv::StringRecord> = Vec::new();
    let mut raw = ::csv::ByteRecord::new();
    while first.len() < LOOKED_AT {
        if !reader.read_byte_record(&mut raw).map_err(|e| unreadable(e.to_string()))? {
            break;
        }
        first.push(lossy(&raw));
    }
    let keys: Vec<(&str, i64)> = first
        .iter()
        .filter_map(|row| {
            let time = seconds(row.get(time_at?)?, layout.day_first)?;
            Some((system_at.and_then(|at| row.get(at)).unwrap_or_default(), time))
        })
        .collect();
    let order = if log.unordered {
        Order::None
    } else if keys.windows(2).all(|pair| pair[0].1 <= pair[1].1) {
        Order::Time
    } else if keys.windows(2).all(|pair| pair[0] <= pair[1]) {
        Order::System
    } else {
        Order::None
    };
    let comma = mark != b',';
    let mut rows = Rows::new(layout, &heads, comma, log.only, order, log.tally, log.bad_to, log.gases);
    let (sender, receiver) = way();
    let thread = std::thread::spawn(move || -> Result<(), String> {
        // The head was read apart, and stands on line 1.
        for row in &first {
            let line = row.position().map_or(0, |p| p.line() + 1);
            if let Some(batch) = rows.take(line, |at| row.get(at))
                && sender.blocking_send(Ok(batch)).is_err()
            {
                return Ok(());
            }
        }
        loop {
            match reader.read_byte_record(&mut raw) {
                Ok(true) => {}
                Ok(false) => break,
                Err(error) => {
                    let _ = sender.blocking_send(Err(DataFusionError::Execution(error.to_string())));
                    return Err(error.to_string());
                }
            }
            let line = raw.position().map_or(0, |p| p.line() + 1);
            let batch = rows.take(line, |at| {
                // What is no text is no number and no name either.
                raw.get(at).map(|cell| core::str::from_utf8(cell).unwrap_or("\u{fffd}"))
            });
            if let Some(batch) = batch
                && sender.blocking_send(Ok(batch)).is_err()
            {
                return Ok(());
            }
        }
        if let Some(batch) = rows.batch() {
            let _ = sender.blocking_send(Ok(batch));
        }
        Ok(())
    });
    Ok((table(receiver, order)?, thread))
}

fn lossy(raw: &::csv::ByteRecord) -> ::csv::StringRecord {
    let mut record = ::csv::StringRecord::new();
    for cell in raw {
        record.push_field(core::str::from_utf8(cell).unwrap_or("\u{fffd}"));
    }
    record.set_position(raw.position().cloned());
    record
}
