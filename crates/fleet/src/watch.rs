//! From a log to a list: read, reduced, added to what was kept, each system looked at.

use crate::plan::{self, REDUCTION};
use crate::source::{self, Log};
use crate::{Broker, Fault, Tally};
use datafusion::arrow::array::{Array, AsArray, RecordBatch};
use datafusion::arrow::datatypes::{DataType, Float64Type, Int64Type, TimeUnit, TimestampSecondType};
use datafusion::dataframe::DataFrameWriteOptions;
use datafusion::prelude::{ParquetReadOptions, SessionContext};
use fluid::Fluid;
use futures::StreamExt;
use report::Message;
use std::collections::BTreeMap;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, RwLock, RwLockReadGuard};
use trend::{FEATURES, Feature, Limits, Look, Point};
use units::Atmosphere;

/// Days that are kept; older points are dropped.
const KEPT_DAYS: i64 = 540;

/// Where readings come from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Input {
    /// A CSV file.
    Csv(PathBuf),
    /// A CSV on the standard input.
    Stdin,
    /// A Parquet file with the columns of a table of readings, in SI.
    Parquet(PathBuf),
    /// Messages of a broker.
    Broker(Broker),
}

/// What is to be watched, and how.
#[derive(Clone, Debug)]
pub struct Task {
    /// The readings.
    pub input: Input,
    /// The text of the map of columns.
    pub map: Option<String>,
    /// The air around the gauges.
    pub air: Atmosphere,
    /// The name of the system where no column names it.
    pub only: String,
    /// The refrigerant of every system that none is stated for.
    pub refrigerant: Option<String>,
    /// The refrigerant of each system.
    pub refrigerants: BTreeMap<String, String>,
    /// The day (days since 1970) from which on a system's baseline counts: it was proved right then.
    pub proved: BTreeMap<String, i64>,
    /// The file in which the sums are kept from one log to the next.
    pub keep: Option<PathBuf>,
    /// Where the readings go as Parquet.
    pub readings_to: Option<PathBuf>,
    /// Where every bad row is named.
    pub bad_to: Option<PathBuf>,
    /// What is an alarm.
    pub limits: Limits,
    /// Memory of the engine, in bytes.
    pub memory: usize,
}

impl Task {
    /// Returns a task with nothing stated but its input.
    #[must_use]
    pub fn new(input: Input) -> Self {
        Self {
            input,
            map: None,
            air: Atmosphere::sea_level_assumed(),
            only: String::new(),
            refrigerant: None,
            refrigerants: BTreeMap::new(),
            proved: BTreeMap::new(),
            keep: None,
            readings_to: None,
            bad_to: None,
            limits: Limits::default(),
            memory: 1 << 30,
        }
    }
}

/// One system of the list.
#[derive(Clone, Debug, PartialEq)]
pub struct System {
    /// Its name.
    pub name: String,
    /// What was seen.
    pub look: Look,
    /// The last day with a reading, days since 1970.
    pub last: i64,
    /// Windows and steady ones among them.
    pub windows: (i64, i64),
    /// Whether its refrigerant is known.
    pub has_refrigerant: bool,
    /// Whether its pressures can be those of its refrigerant; false where a unit or a refrigerant is wrong.
    pub pressures_fit: bool,
}

/// What a log gave.
#[derive(Debug)]
pub struct Report {
    /// What became of the rows.
    pub tally: Tally,
    /// Rows left out since they were taken before.
    pub again: u64,
    /// The systems: alarms first, then by evidence; those without a baseline last.
    pub systems: Vec<System>,
}

/// The refrigerant of each system.
#[derive(Clone, Default)]
pub(crate) struct Gases {
    known: Arc<RwLock<Known>>,
}

/// What is known of the refrigerants, held while a batch is worked on.
#[derive(Default)]
pub(crate) struct Known {
    all: Option<Fluid>,
    each: BTreeMap<String, Fluid>,
}

impl Known {
    pub(crate) fn of(&self, system: &str) -> Option<&Fluid> {
        self.each.get(system).or(self.all.as_ref())
    }
}

impl Gases {
    pub(crate) fn read(&self) -> RwLockReadGuard<'_, Known> {
        self.known.read().unwrap_or_else(std::sync::PoisonError::into_inner)
    }

    /// Sets the refrigerant of a system; false for a name that is none.
    pub(crate) fn set(&self, system: &str, name: &str) -> bool {
        let Some(found) = refrigerant::find(name) else { return false };
        let mut known = self.known.write().unwrap_or_else(std::sync::PoisonError::into_inner);
        known.each.insert(system.to_owned(), found.fluid());
        true
    }

    fn of_task(task: &Task) -> Result<Self, Fault> {
        let refused = |name: &str| {
            let near = refrigerant::suggestions(name).join(", ");
            let message =
                Message::new("watch-no-refrigerant").with("given", name).with("sensible", near.as_str());
            Fault::new("no_refrigerant", "--refrigerant", name, near, message)
        };
        let gases = Self::default();
        for (system, name) in &task.refrigerants {
            if !gases.set(system, name) {
                return Err(refused(name));
            }
        }
        if let Some(name) = &task.refrigerant {
            let fluid = refrigerant::find(name).ok_or_else(|| refused(name))?.fluid();
            gases.known.write().unwrap_or_else(std::sync::PoisonError::into_inner).all = Some(fluid);
        }
        Ok(gases)
    }
}

/// Reads a log to its end and says which systems drift.
///
/// # Errors
/// [`Fault`] where the input, the map, a file or the engine does not do. Bad rows are no fault; they are counted.
pub fn watch(task: &Task) -> Result<Report, Fault> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(Fault::engine)?;
    match runtime.block_on(once(task, false))? {
        Some(report) => Ok(report),
        // Its head was in order and a later row was not: read again, in no order.
        None => runtime.block_on(once(task, true))?.ok_or_else(|| Fault::engine("order")),
    }
}

async fn once(task: &Task, unordered: bool) -> Result<Option<Report>, Fault> {
    let gases = Gases::of_task(task)?;
    let context = plan::session(task.memory)?;
    plan::know(&context, &gases);
    let tally = Arc::new(Mutex::new(Tally::default()));
    let again = Arc::new(AtomicU64::new(0));
    let kept = task.keep.as_deref().filter(|path| path.is_file());
    if let Some(path) = kept {
        register(&context, "kept", "--keep", path).await?;
        plan::remember(&context, last_of(&context).await?, again.clone());
    }
    let bad_to: Option<Box<dyn Write + Send>> = match &task.bad_to {
        Some(path) => {
            let file = std::fs::File::create(path).map_err(|e| Fault::file("--bad", path, e))?;
            Some(Box::new(std::io::BufWriter::new(file)))
        }
        None => None,
    };
    let log = Log {
        map: task.map.as_deref(),
        air: task.air,
        only: &task.only,
        gases: gases.clone(),
        bad_to,
        tally: tally.clone(),
        unordered,
    };
    let mut reader = None;
    match &task.input {
        Input::Csv(path) => {
            let file = std::fs::File::open(path).map_err(|e| Fault::file("--input", path, e))?;
            let (table, thread) = source::csv(path, Box::new(file), log)?;
            reader = Some(thread);
            context.register_table("log", Arc::new(table)).map_err(Fault::engine)?;
        }
        Input::Stdin => {
            let input: Box<dyn Read + Send> = Box::new(std::io::stdin());
            let (table, thread) = source::csv(Path::new("-"), input, log)?;
            reader = Some(thread);
            context.register_table("log", Arc::new(table)).map_err(Fault::engine)?;
        }
        Input::Broker(broker) => {
            let (table, thread) = crate::listen::listen(broker, log)?;
            reader = Some(thread);
            context.register_table("log", Arc::new(table)).map_err(Fault::engine)?;
        }
        Input::Parquet(path) => parquet(&context, path, &gases).await?,
    }
    if let Some(path) = &task.readings_to {
        // Written first, then read back: what is reduced is what stands in the file.
        let frame = context.table("log").await.map_err(Fault::engine)?;
        let options = DataFrameWriteOptions::new().with_single_file_output(true);
        let shown = path.to_string_lossy();
        frame.write_parquet(&shown, options, None).await.map_err(|e| Fault::file("--parquet", path, e))?;
        context.deregister_table("log").map_err(Fault::engine)?;
        parquet(&context, path, &gases).await?;
    }
    let fresh = if kept.is_some() { "WHERE fresh(system, time)" } else { "" };
    context
        .sql(&format!("CREATE VIEW readings AS SELECT * FROM log {fresh}"))
        .await
        .map_err(Fault::engine)?;
    let came = context.sql(REDUCTION).await.map_err(Fault::engine)?;
    context.register_table("came", came.into_view()).map_err(Fault::engine)?;
    let tables: &[&str] = if kept.is_some() { &["kept", "came"] } else { &["came"] };
    let points = context.sql(&plan::merged(tables)).await.map_err(Fault::engine)?;
    let mut systems = Vec::new();
    if let Some(path) = &task.keep {
        // Beside it first: a failure half way leaves what was kept as it was.
        let part = path.with_extension("part.parquet");
        let options = DataFrameWriteOptions::new().with_single_file_output(true);
        let shown = part.to_string_lossy();
        points.write_parquet(&shown, options, None).await.map_err(|e| Fault::file("--keep", path, e))?;
        if ended(reader, &tally, task)? {
            let _ = std::fs::remove_file(&part);
            return Ok(None);
        }
        register(&context, "points", "--keep", &part).await?;
        let points = context.sql("SELECT * FROM points").await.map_err(Fault::engine)?;
        looked_at(points, task, &gases, &mut systems).await?;
        std::fs::rename(&part, path).map_err(|e| Fault::file("--keep", path, e))?;
    } else {
        looked_at(points, task, &gases, &mut systems).await?;
        if ended(reader, &tally, task)? {
            return Ok(None);
        }
    }
    let rank = |system: &System| match &system.look {
        Look::Found(finding) => finding.evidence,
        Look::TooEarly { .. } => -1.0,
    };
    systems.sort_by(|a, b| rank(b).total_cmp(&rank(a)).then_with(|| a.name.cmp(&b.name)));
    let tally = std::mem::take(&mut *tally.lock().unwrap_or_else(std::sync::PoisonError::into_inner));
    Ok(Some(Report { tally, again: again.load(Ordering::Relaxed), systems }))
}

/// Waits for the reader; true when the rows left the order they began in and are to be read again.
fn ended(
    reader: Option<std::thread::JoinHandle<Result<(), String>>>,
    tally: &Mutex<Tally>,
    task: &Task,
) -> Result<bool, Fault> {
    let Some(reader) = reader else { return Ok(false) };
    match reader.join() {
        Ok(Ok(())) => {}
        Ok(Err(why)) => {
            return Err(match &task.input {
                Input::Broker(broker) => {
                    let given = format!("mqtt://{}:{}", broker.host, broker.port);
                    let message =
                        Message::new("watch-no-broker").with("given", given.as_str()).with("why", why);
                    Fault::new("no_broker", "--listen", given, "mqtt://127.0.0.1:1883", message)
                }
                Input::Csv(path) => Fault::file("--input", path, why),
                _ => Fault::file("--input", Path::new("-"), why),
            });
        }
        Err(_) => return Err(Fault::engine("reader")),
    }
    let broken = tally.lock().unwrap_or_else(std::sync::PoisonError::into_inner).broken;
    match (broken, &task.input) {
        (None, _) => Ok(false),
        (Some(_), Input::Csv(_)) => Ok(true),
        // A pipe cannot be read again.
        (Some(line), _) => {
            let message = Message::new("watch-no-order").with("given", line.to_string());
            Err(Fault::new("order", "--input", line.to_string(), "log.csv", message))
        }
    }
}

async fn register(
    context: &SessionContext,
    name: &str,
    option: &'static str,
    path: &Path,
) -> Result<(), Fault> {
    let shown = path.to_string_lossy();
    let options = ParquetReadOptions { file_extension: "", ..ParquetReadOptions::default() };
    context.register_parquet(name, shown, options).await.map_err(|e| Fault::file(option, path, e))
}

/// Makes `log` of a Parquet file: columns that it lacks are absent, and a refrigerant it names is taken.
async fn parquet(context: &SessionContext, path: &Path, gases: &Gases) -> Result<(), Fault> {
    register(context, "file", "--input", path).await?;
    let frame = context.table("file").await.map_err(Fault::engine)?;
    let has = |name: &str| frame.schema().fields().iter().any(|field| field.name() == name);
    for name in ["time", "system"] {
        if !has(name) {
            let message = Message::new("watch-no-column").with("head", name);
            return Err(Fault::new("no_column", "--input", path.to_string_lossy(), "time, system", message));
        }
    }
    if has("refrigerant") {
        let sql = "SELECT DISTINCT system, refrigerant FROM file WHERE refrigerant IS NOT NULL";
        for batch in collected(context, sql).await? {
            let (systems, names) = (batch.column(0).as_string::<i32>(), batch.column(1).as_string::<i32>());
            for (system, name) in systems.iter().zip(names.iter()) {
                let (Some(system), Some(name)) = (system, name) else { continue };
                if !gases.set(system, name) {
                    let near = refrigerant::suggestions(name).join(", ");
                    let message = Message::new("watch-no-refrigerant")
                        .with("given", name)
                        .with("sensible", near.as_str());
                    return Err(Fault::new("no_refrigerant", "--input", name, near, message));
                }
            }
        }
    }
    let mut columns = vec!["arrow_cast(time, 'Timestamp(Second, None)') AS time".to_owned()];
    columns.push("arrow_cast(system, 'Utf8') AS system".to_owned());
    for name in crate::FIELDS {
        let from = if has(name) { name } else { "NULL" };
        columns.push(format!("CAST({from} AS DOUBLE) AS {name}"));
    }
    let sql = format!("CREATE VIEW log AS SELECT {} FROM file", columns.join(", "));
    context.sql(&sql).await.map_err(Fault::engine)?;
    Ok(())
}

async fn collected(context: &SessionContext, sql: &str) -> Result<Vec<RecordBatch>, Fault> {
    let frame = context.sql(sql).await.map_err(Fault::engine)?;
    frame.collect().await.map_err(Fault::engine)
}

/// The last reading of each system among those kept.
async fn last_of(context: &SessionContext) -> Result<BTreeMap<String, i64>, Fault> {
    let sql = "SELECT arrow_cast(system, 'Utf8') AS system, \
               arrow_cast(max(last), 'Timestamp(Second, None)') AS last FROM kept GROUP BY system";
    let mut last = BTreeMap::new();
    for batch in collected(context, sql).await? {
        let systems = batch.column(0).as_string::<i32>();
        let times = batch.column(1).as_primitive::<TimestampSecondType>();
        for (system, time) in systems.iter().zip(times.iter()) {
            if let (Some(system), Some(time)) = (system, time) {
                last.insert(system.to_owned(), time);
            }
        }
    }
    Ok(last)
}

/// Goes through the points, which come by system, and looks at each system once.
async fn looked_at(
    points: datafusion::dataframe::DataFrame,
    task: &Task,
    gases: &Gases,
    systems: &mut Vec<System>,
) -> Result<(), Fault> {
    let mut stream = points.execute_stream().await.map_err(Fault::engine)?;
    let mut gathered = Gathered::default();
    while let Some(batch) = stream.next().await {
        let batch = batch.map_err(Fault::engine)?;
        let names = batch.column_by_name("system").ok_or_else(|| Fault::engine("system"))?;
        let names = names.as_string::<i32>();
        let whole = |name: &str| {
            let column = batch.column_by_name(name).ok_or_else(|| Fault::engine(name))?;
            let cast = datafusion::arrow::compute::cast(column, &DataType::Int64);
            cast.map(|array| array.as_primitive::<Int64Type>().clone()).map_err(Fault::engine)
        };
        let real = |name: &str| {
            let column = batch.column_by_name(name).ok_or_else(|| Fault::engine(name))?;
            let cast = datafusion::arrow::compute::cast(column, &DataType::Float64);
            cast.map(|array| array.as_primitive::<Float64Type>().clone()).map_err(Fault::engine)
        };
        let last = batch.column_by_name("last").ok_or_else(|| Fault::engine("last"))?;
        let last = datafusion::arrow::compute::cast(last, &DataType::Timestamp(TimeUnit::Second, None))
            .map_err(Fault::engine)?;
        let last = last.as_primitive::<TimestampSecondType>().clone();
        let (block, windows, steady) = (whole("block")?, whole("windows")?, whole("steady")?);
        let ambient = (real("ambient_sum")?, real("ambient_n")?);
        let mut columns = Vec::new();
        for feature in FEATURES {
            let word = feature.word();
            columns.push((real(&format!("{word}_sum"))?, real(&format!("{word}_n"))?));
        }
        for row in 0..batch.num_rows() {
            let name = names.value(row);
            if gathered.name != name {
                gathered.close(task, gases, systems);
                gathered.name = name.to_owned();
            }
            let mean = |(sum, n): &(
                datafusion::arrow::array::Float64Array,
                datafusion::arrow::array::Float64Array,
            )| {
                let n = if n.is_null(row) { 0.0 } else { n.value(row) };
                (n > 0.0 && !sum.is_null(row)).then(|| (sum.value(row) / n, n))
            };
            let mut features = [None; FEATURES.len()];
            for (feature, column) in features.iter_mut().zip(&columns) {
                *feature = mean(column);
            }
            for (own, feature) in gathered.sums.iter_mut().zip(features) {
                if let Some((mean, n)) = feature {
                    *own = (own.0 + mean * n, own.1 + n);
                }
            }
            gathered.windows.0 += windows.value(row);
            gathered.windows.1 += steady.value(row);
            gathered.last = gathered.last.max(last.value(row).div_euclid(86_400));
            gathered.points.push(Point {
                block: block.value(row),
                ambient: mean(&ambient).map(|m| m.0),
                features,
            });
        }
    }
    gathered.close(task, gases, systems);
    Ok(())
}

#[derive(Default)]
struct Gathered {
    name: String,
    points: Vec<Point>,
    windows: (i64, i64),
    last: i64,
    /// Each feature's sum and number over all that is kept.
    sums: [(f64, f64); FEATURES.len()],
}

impl Gathered {
    /// Whether the pressures can be those of the refrigerant: they have a saturation temperature at all, the condensing one
    /// does not lie below the ambient, nor the box below the evaporating one. By more than 3 K in the mean of steady windows
    /// no running system does that; what does is a unit, a gauge pressure taken for an absolute one, or another refrigerant.
    fn pressures_fit(&self) -> bool {
        let mean = |feature: Feature| {
            let (sum, n) = FEATURES.iter().position(|f| *f == feature).map_or((0.0, 0.0), |k| self.sums[k]);
            (n > 0.0).then(|| sum / n)
        };
        let saturated = [Feature::Split, Feature::Subcooling, Feature::Superheat, Feature::Difference];
        let said = saturated.iter().any(|feature| mean(*feature).is_some());
        let below = |feature| mean(feature).is_some_and(|mean| mean < -3.0);
        (said || self.windows.1 < 12) && !below(Feature::Split) && !below(Feature::Difference)
    }

    fn close(&mut self, task: &Task, gases: &Gases, systems: &mut Vec<System>) {
        let mut gathered = std::mem::take(self);
        let Some(newest) = gathered.points.iter().map(|p| p.block).max() else { return };
        let from = task.proved.get(&gathered.name).copied().unwrap_or(i64::MIN);
        gathered.points.retain(|p| {
            (newest - p.block) * trend::BLOCK_DAYS <= KEPT_DAYS && p.block * trend::BLOCK_DAYS >= from
        });
        systems.push(System {
            look: trend::look(&gathered.points, &task.limits),
            has_refrigerant: gases.read().of(&gathered.name).is_some(),
            pressures_fit: gases.read().of(&gathered.name).is_none() || gathered.pressures_fit(),
            name: gathered.name,
            last: gathered.last,
            windows: gathered.windows,
        });
    }
}
