//! The shop's server: takes what the phones recorded, once, complete, and shows the owner what is due.
//!
//! Who asks is decided from the head of a request, before its body is read ([`auth`]); what is asked is answered in
//! [`api`], with problems as RFC 9457 has them ([`problem`]); the store blocks, and is called on threads that may.

pub mod api;
pub mod auth;
pub mod body;
pub mod book;
pub mod config;
pub mod csv;
pub mod demo;
pub mod headers;
pub mod ics;
pub mod limit;
pub mod maintenance;
pub mod metrics;
pub mod openapi;
pub mod passkey;
pub mod problem;
pub mod qr;
pub mod rendered;
pub mod secret;
pub mod serve;
pub mod shop;
pub mod site;
pub mod strict;
pub mod summary;
pub mod tls;
