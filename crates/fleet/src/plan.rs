//! The plan of the reduction, and the session that carries it out.

use crate::Fault;
use crate::watch::Gases;
use datafusion::arrow::array::{AsArray, BooleanArray, Float64Array, StringArray};
use datafusion::arrow::datatypes::{DataType, Float64Type, TimeUnit, TimestampSecondType};
use datafusion::common::Result as Done;
use datafusion::execution::memory_pool::FairSpillPool;
use datafusion::execution::runtime_env::RuntimeEnvBuilder;
use datafusion::logical_expr::{ColumnarValue, Volatility, create_udf};
use datafusion::prelude::{SessionConfig, SessionContext};
use std::collections::BTreeMap;
use std::sync::Arc;
use units::{AbsolutePressure, Temperature};

/// The reduction of a table `readings` to the sums of each system, three days (`block`) and 5 K of ambient (`band`).
///
/// `dew_of(system, pascal)` and `bubble_of(system, pascal)` are ours, in kelvin; all else is plain. A window is steady when the
/// compressor ran through all of it and neither pressure nor line moved: 6 % of the suction and 3 % of the discharge pressure are
/// 1 to 2 K of dew temperature, 2 K for a line, 1.5 K for the box; our judgement, no source.
pub const REDUCTION: &str = "
WITH windows AS (
  SELECT system, date_bin(INTERVAL '5 minutes', time) AS at, count(*) AS n, max(time) AS last,
    avg(running) AS run, min(running) AS run_least,
    avg(suction_pressure) AS suction, max(suction_pressure) - min(suction_pressure) AS suction_span,
    avg(discharge_pressure) AS discharge, max(discharge_pressure) - min(discharge_pressure) AS discharge_span,
    avg(suction_line) AS suction_line, max(suction_line) - min(suction_line) AS suction_line_span,
    avg(liquid_line) AS liquid_line, max(liquid_line) - min(liquid_line) AS liquid_line_span,
    avg(discharge_line) AS discharge_line, max(discharge_line) - min(discharge_line) AS discharge_line_span,
    avg(box_air) AS box_air, max(box_air) - min(box_air) AS box_air_span,
    avg(ambient) AS ambient, avg(receiver_level) AS level
  FROM readings GROUP BY system, date_bin(INTERVAL '5 minutes', time)
), judged AS (
  SELECT system, at, last, ambient, suction_line, liquid_line, discharge_line, box_air, level,
    coalesce(run, CASE WHEN discharge > 1.5 * suction THEN 1.0 WHEN discharge IS NULL OR suction IS NULL THEN NULL ELSE 0.0 END) AS run,
    CASE WHEN suction > 0 THEN dew_of(system, suction) END AS suction_dew,
    CASE WHEN discharge > 0 THEN dew_of(system, discharge) END AS dew,
    CASE WHEN discharge > 0 THEN bubble_of(system, discharge) END AS bubble,
    n >= 2 AND coalesce(run_least, CASE WHEN discharge > 1.5 * suction THEN 1.0 ELSE 0.0 END) >= 0.99
      AND coalesce(suction_span <= 0.06 * suction, true) AND coalesce(discharge_span <= 0.03 * discharge, true)
      AND coalesce(suction_line_span <= 2.0, true) AND coalesce(liquid_line_span <= 2.0, true)
      AND coalesce(discharge_line_span <= 4.0, true) AND coalesce(box_air_span <= 1.5, true) AS steady
  FROM windows
), features AS (
  SELECT system, CAST(floor(date_part('epoch', at) / 259200.0) AS BIGINT) AS block,
    CAST(floor((ambient - 273.15) / 5.0) AS BIGINT) AS band, last, ambient, run, steady,
    CASE WHEN steady THEN dew - ambient END AS split,
    CASE WHEN steady THEN bubble - liquid_line END AS subcooling,
    CASE WHEN steady THEN suction_line - suction_dew END AS superheat,
    CASE WHEN steady THEN box_air - suction_dew END AS td,
    CASE WHEN steady THEN discharge_line - dew END AS discharge,
    CASE WHEN steady THEN level END AS level
  FROM judged
)
SELECT system, block, band, max(last) AS last, count(*) AS windows,
  CAST(sum(CASE WHEN steady THEN 1 ELSE 0 END) AS BIGINT) AS steady,
  sum(ambient) AS ambient_sum, count(ambient) AS ambient_n,
  sum(split) AS split_sum, count(split) AS split_n,
  sum(subcooling) AS subcooling_sum, count(subcooling) AS subcooling_n,
  sum(superheat) AS superheat_sum, count(superheat) AS superheat_n,
  sum(td) AS td_sum, count(td) AS td_n,
  sum(discharge) AS discharge_sum, count(discharge) AS discharge_n,
  sum(level) AS level_sum, count(level) AS level_n,
  sum(run) AS run_sum, count(run) AS run_n
FROM features GROUP BY system, block, band";

/// Adds up what was kept and what came; both have the columns of [`REDUCTION`].
pub(crate) fn merged(tables: &[&str]) -> String {
    let all: Vec<String> = tables.iter().map(|table| format!("SELECT * FROM {table}")).collect();
    let sums: Vec<String> =
        ["ambient", "split", "subcooling", "superheat", "td", "discharge", "level", "run"]
            .iter()
            .map(|name| format!("sum({name}_sum) AS {name}_sum, sum({name}_n) AS {name}_n"))
            .collect();
    format!(
        "SELECT system, block, band, max(last) AS last, sum(windows) AS windows, sum(steady) AS steady, {} FROM ({}) \
         GROUP BY system, block, band ORDER BY system, block, band",
        sums.join(", "),
        all.join(" UNION ALL ")
    )
}

/// Returns a session that keeps to `bytes` of memory and goes to disk beyond.
pub(crate) fn session(bytes: usize) -> Result<SessionContext, Fault> {
    let runtime = RuntimeEnvBuilder::new()
        .with_memory_pool(Arc::new(FairSpillPool::new(bytes)))
        .build_arc()
        .map_err(Fault::engine)?;
    // One partition keeps the order of the rows, which is what lets a window be closed as soon as time has passed it. The
    // reader of rows works beside it.
    let config = SessionConfig::new()
        .with_target_partitions(1)
        .set_bool("datafusion.execution.parquet.schema_force_view_types", false);
    Ok(SessionContext::new_with_config_rt(config, runtime))
}

/// Gives the session the temperatures of saturation of each system's refrigerant.
pub(crate) fn know(context: &SessionContext, gases: &Gases) {
    for (name, is_dew) in [("dew_of", true), ("bubble_of", false)] {
        let gases = gases.clone();
        let function = move |inputs: &[ColumnarValue]| -> Done<ColumnarValue> {
            let arrays = ColumnarValue::values_to_arrays(inputs)?;
            let (systems, pressures): (&StringArray, &Float64Array) =
                (arrays[0].as_string::<i32>(), arrays[1].as_primitive::<Float64Type>());
            let gases = gases.read();
            let found: Float64Array = systems
                .iter()
                .zip(pressures.iter())
                .map(|(system, pascal)| {
                    let fluid = gases.of(system?)?;
                    let table = fluid.saturation_table()?;
                    let pressure = AbsolutePressure::from_pascal(pascal?);
                    let temperature = if is_dew {
                        table.dew_temperature(pressure)
                    } else {
                        table.bubble_temperature(pressure)
                    };
                    temperature.map(Temperature::kelvin)
                })
                .collect();
            Ok(ColumnarValue::Array(Arc::new(found)))
        };
        context.register_udf(create_udf(
            name,
            vec![DataType::Utf8, DataType::Float64],
            DataType::Float64,
            Volatility::Stable,
            Arc::new(function),
        ));
    }
}

/// Gives the session `fresh(system, time)`: whether a reading is later than what was kept of its system.
pub(crate) fn remember(
    context: &SessionContext,
    last: BTreeMap<String, i64>,
    again: Arc<std::sync::atomic::AtomicU64>,
) {
    let function = move |inputs: &[ColumnarValue]| -> Done<ColumnarValue> {
        let arrays = ColumnarValue::values_to_arrays(inputs)?;
        let times = arrays[1].as_primitive::<TimestampSecondType>();
        let fresh: BooleanArray = arrays[0]
            .as_string::<i32>()
            .iter()
            .zip(times.iter())
            .map(|(system, time)| {
                Some(last.get(system?).is_none_or(|last| time.is_some_and(|time| time > *last)))
            })
            .collect();
        let old = fresh.len() - fresh.true_count();
        again.fetch_add(old as u64, std::sync::atomic::Ordering::Relaxed);
        Ok(ColumnarValue::Array(Arc::new(fresh)))
    };
    context.register_udf(create_udf(
        "fresh",
        vec![DataType::Utf8, DataType::Timestamp(TimeUnit::Second, None)],
        DataType::Boolean,
        Volatility::Volatile,
        Arc::new(function),
    ));
}
