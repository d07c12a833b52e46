//! Readings from a broker: a stand-in on the loopback that speaks MQTT 3.1.1 by the packets of a library.

#![cfg(feature = "engine")]
#![allow(clippy::unwrap_used)]

use bytes::BytesMut;
use fleet::{Broker, Input, Task, watch};
use rumqttc::mqttbytes::v4::{ConnAck, ConnectReturnCode, Packet, Publish, SubAck, SubscribeReasonCode};
use rumqttc::{QoS, mqttbytes};
use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::thread::JoinHandle;
use std::time::Duration;

/// The next packet of a client.
fn next(stream: &mut TcpStream, bytes: &mut BytesMut) -> Option<Packet> {
    loop {
        match Packet::read(bytes, 1 << 16) {
            Ok(packet) => return Some(packet),
            Err(mqttbytes::Error::InsufficientBytes(_)) => {
                let mut some = [0; 4096];
                match stream.read(&mut some) {
                    Ok(n) if n > 0 => bytes.extend_from_slice(&some[..n]),
                    _ => return None,
                }
            }
            Err(error) => panic!("{error}"),
        }
    }
}

fn send(stream: &mut TcpStream, packet: &Packet) {
    let mut bytes = BytesMut::new();
    packet.write(&mut bytes, 1 << 20).unwrap();
    stream.write_all(&bytes).unwrap();
}

/// Takes one client, gives it `messages` once it has subscribed, and returns the topic and how many it acknowledged.
fn broker(messages: Vec<String>) -> (u16, JoinHandle<(String, usize)>) {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = listener.local_addr().unwrap().port();
    let thread = std::thread::spawn(move || {
        let (mut stream, _) = listener.accept().unwrap();
        let (mut bytes, mut topic, mut acknowledged) = (BytesMut::new(), String::new(), 0);
        while let Some(packet) = next(&mut stream, &mut bytes) {
            match packet {
                Packet::Connect(_) => {
                    let code = ConnectReturnCode::Success;
                    send(&mut stream, &Packet::ConnAck(ConnAck { code, session_present: false }));
                }
                Packet::Subscribe(subscribe) => {
                    topic.clone_from(&subscribe.filters[0].path);
                    let return_codes = vec![SubscribeReasonCode::Success(QoS::AtLeastOnce)];
                    send(&mut stream, &Packet::SubAck(SubAck { pkid: subscribe.pkid, return_codes }));
                    for (k, message) in messages.iter().enumerate() {
                        let mut publish =
                            Publish::new("shop/a/readings", QoS::AtLeastOnce, message.as_bytes().to_vec());
                        publish.pkid = u16::try_from(k + 1).unwrap();
                        send(&mut stream, &Packet::Publish(publish));
                    }
                }
                Packet::PubAck(_) => acknowledged += 1,
                Packet::Disconnect => break,
                _ => {}
            }
        }
        (topic, acknowledged)
    });
    (port, thread)
}

fn task(port: u16, most: u64) -> Task {
    let address = format!("mqtt://127.0.0.1:{port}");
    let broker = Broker::read(&address, "shop/+/readings", Duration::from_secs(20), Some(most)).unwrap();
    let mut task = Task::new(Input::Broker(broker));
    task.refrigerant = Some("R-449A".to_owned());
    task
}

#[test]
fn messages_become_windows_and_bad_ones_are_counted() {
    let mut messages: Vec<String> = (0..10)
        .map(|minute| {
            format!(
                "{{\"time\":\"2031-05-06T08:{minute:02}:00Z\",\"system\":\"room-7\",\"suction_pressure\":420000,\
                 \"discharge_pressure\":1500000,\"ambient\":291.5,\"liquid_line\":303.1,\"running\":true}}"
            )
        })
        .collect();
    messages.push("not JSON".to_owned());
    messages.push(
        "[{\"time\":\"2031-05-06T08:10:00Z\",\"system\":\"room-2\",\"box_air\":275.1},\
         {\"time\":\"2031-05-06T08:11:00Z\",\"system\":\"room-2\",\"box_air\":-3}]"
            .to_owned(),
    );
    let (port, thread) = broker(messages);
    let report = watch(&task(port, 12)).unwrap();
    assert_eq!((report.tally.taken, report.tally.bad), (11, 2), "{report:?}");
    let lines: Vec<u64> = report.tally.named.iter().map(|named| named.0).collect();
    assert_eq!(lines, [11, 12]);
    let room = report.systems.iter().find(|system| system.name == "room-7").unwrap();
    assert_eq!(room.windows, (2, 2));
    let (topic, acknowledged) = thread.join().unwrap();
    assert_eq!(topic, "shop/+/readings");
    assert!(acknowledged >= 10, "{acknowledged}");
}

#[test]
fn no_broker_is_one_fault_and_an_address_is_read_strictly() {
    let port = TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
    let mut task = task(port, 1);
    if let Input::Broker(broker) = &mut task.input {
        broker.during = Duration::from_secs(1);
    }
    assert_eq!(watch(&task).unwrap_err().code, "no_broker");
    for address in ["127.0.0.1:1883", "mqtts://127.0.0.1", "mqtt://a:b@c", "mqtt://", "mqtt://x:y"] {
        let refused = Broker::read(address, "#", Duration::from_secs(1), None).unwrap_err();
        assert_eq!(refused.code, "bad_broker", "{address}");
    }
}
