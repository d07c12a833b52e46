//! Readings as a broker passes them on: MQTT 3.1.1, one JSON object a message, or an array of them.

use crate::Fault;
use crate::rows::{Order, Rows};
use crate::source::{self, Log, way};
use crate::{FIELDS, Layout};
use datafusion::catalog::streaming::StreamingTable;
use report::Message;
use rumqttc::{Client, Event, MqttOptions, Packet, QoS};
use std::time::{Duration, Instant};

/// A broker, the topic, and when to stop listening.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broker {
    /// Its host.
    pub host: String,
    /// Its port.
    pub port: u16,
    /// The topic, `+` and `#` as the protocol has them.
    pub topic: String,
    /// How long to listen.
    pub during: Duration,
    /// Stop after so many messages, if that comes first.
    pub most: Option<u64>,
}

impl Broker {
    /// Returns the broker of an address such as `mqtt://127.0.0.1:1883`.
    ///
    /// # Errors
    /// The address is not of that form: another scheme, a name with a password, no host.
    pub fn read(address: &str, topic: &str, during: Duration, most: Option<u64>) -> Result<Self, Fault> {
        let refused = || {
            let sensible = "mqtt://127.0.0.1:1883";
            let message = Message::new("watch-bad-broker").with("given", address).with("sensible", sensible);
            Fault::new("bad_broker", "--listen", address, sensible, message)
        };
        let rest = address.strip_prefix("mqtt://").ok_or_else(refused)?.trim_end_matches('/');
        let (host, port) = match rest.rsplit_once(':') {
            Some((host, port)) => (host, port.parse().map_err(|_| refused())?),
            None => (rest, 1883),
        };
        if host.is_empty() || host.contains(['/', '@', ' ']) {
            return Err(refused());
        }
        Ok(Self { host: host.to_owned(), port, topic: topic.to_owned(), during, most })
    }
}

/// Starts to listen and returns the table of what comes, and the thread.
///
/// The connection is not encrypted: a broker on this machine or behind a tunnel.
pub(crate) fn listen(
    broker: &Broker,
    log: Log<'_>,
) -> Result<(StreamingTable, std::thread::JoinHandle<Result<(), String>>), Fault> {
    // A message has no heads: those that the map names, or the fields' own names in SI.
    let (layout, heads) = match log.map {
        Some(text) => {
            let heads = named(text)?;
            (Layout::of_map(text, &heads, log.air)?, heads)
        }
        None => {
            let units = ["Pa abs", "Pa abs", "K", "K", "K", "K", "K", "", ""];
            let mut heads: Vec<String> = ["time", "system", "refrigerant"].map(str::to_owned).to_vec();
            let plain = FIELDS.iter().zip(units).map(|(f, u)| format!("{f} {u}").trim_end().to_owned());
            heads.extend(plain);
            (Layout::of_heads(&heads, log.air)?, heads)
        }
    };
    let mut options =
        MqttOptions::new(format!("gastight-{}", std::process::id()), broker.host.clone(), broker.port);
    options.set_keep_alive(Duration::from_secs(30)).set_max_packet_size(1 << 20, 1 << 16);
    let (client, mut connection) = Client::new(options, 64);
    let broker = broker.clone();
    let mut rows = Rows::new(layout, &heads, false, log.only, Order::None, log.tally, log.bad_to, log.gases);
    let (sender, receiver) = way();
    let thread = std::thread::spawn(move || -> Result<(), String> {
        let until = Instant::now() + broker.during;
        let (mut messages, mut was_up) = (0_u64, false);
        let mut why: Option<String> = None;
        while broker.most.is_none_or(|most| messages < most) {
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() {
                break;
            }
            match connection.recv_timeout(left) {
                // Subscribed anew after each connection: a broker need not keep what it was told.
                Ok(Ok(Event::Incoming(Packet::ConnAck(_)))) => {
                    was_up = true;
                    client.try_subscribe(&broker.topic, QoS::AtLeastOnce).map_err(|e| e.to_string())?;
                }
                Ok(Ok(Event::Incoming(Packet::Publish(message)))) => {
                    messages += 1;
                    for cells in cells(&message.payload, &heads) {
                        let get = |at: usize| cells.get(at).map(String::as_str);
                        if let Some(batch) = rows.take(messages, get)
                            && sender.blocking_send(Ok(batch)).is_err()
                        {
                            return Ok(());
                        }
                    }
                }
                Ok(Ok(_)) => {}
                Ok(Err(error)) => {
                    why = Some(error.to_string());
                    // Tried again, not in a whirl.
                    std::thread::sleep(Duration::from_millis(500).min(left));
                }
                Err(_) => break,
            }
        }
        let _ = client.try_disconnect();
        if let Some(batch) = rows.batch() {
            let _ = sender.blocking_send(Ok(batch));
        }
        if was_up { Ok(()) } else { Err(why.unwrap_or_else(|| "no answer".to_owned())) }
    });
    Ok((source::table(receiver, Order::None)?, thread))
}

/// All heads that a map names, so that each of its tables is found.
fn named(text: &str) -> Result<Vec<String>, Fault> {
    let document: toml_edit::DocumentMut = text.parse().map_err(|error: toml_edit::TomlError| {
        let message = Message::new("watch-bad-map").with("why", error.to_string());
        Fault::new("not_a_map", "--map", "", "gastight_columns = 1", message)
    })?;
    let mut heads = Vec::new();
    let word = |table: &dyn toml_edit::TableLike, key: &str| {
        table.get(key).and_then(toml_edit::Item::as_str).map(str::to_owned)
    };
    for table in document.get("table").and_then(toml_edit::Item::as_array_of_tables).into_iter().flatten() {
        heads.extend(["time", "system", "refrigerant"].iter().filter_map(|key| word(table, key)));
        let columns = table.get("column").and_then(toml_edit::Item::as_array_of_tables);
        heads.extend(columns.into_iter().flatten().filter_map(|column| word(column, "head")));
    }
    Ok(heads)
}

/// The rows of a message: what is no JSON object is a row without a time, and so is counted as bad.
fn cells(payload: &[u8], heads: &[String]) -> Vec<Vec<String>> {
    let value: serde_json::Value = serde_json::from_slice(payload).unwrap_or(serde_json::Value::Null);
    let rows = match value {
        serde_json::Value::Array(rows) => rows,
        one => vec![one],
    };
    rows.iter()
        .map(|row| {
            heads
                .iter()
                .map(|head| {
                    // `suction_pressure Pa abs` is a column's head; in a message the name alone will do.
                    let name = head.split(' ').next().unwrap_or(head);
                    match row.get(head.as_str()).or_else(|| row.get(name)) {
                        Some(serde_json::Value::String(text)) => text.clone(),
                        Some(serde_json::Value::Number(number)) => number.to_string(),
                        Some(serde_json::Value::Bool(true)) => "1".to_owned(),
                        Some(serde_json::Value::Bool(false)) => "0".to_owned(),
                        _ => String::new(),
                    }
                })
                .collect()
        })
        .collect()
}
