//! Accepting connections, and ending in order.

use crate::api;
use crate::auth::Peer;
use crate::config::Config;
use crate::problem::Problem;
use crate::shop::Shop;
use crate::{headers, metrics, openapi, problem, site, summary, tls};
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse as _, Response};
use axum::{Json, Router, middleware};
use hyper_util::rt::{TokioExecutor, TokioIo, TokioTimer};
use hyper_util::server::conn::auto::Builder;
use hyper_util::server::graceful::GracefulShutdown;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, watch};
use tokio_rustls::TlsAcceptor;
use tower::ServiceExt as _;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::timeout::TimeoutLayer;

/// How long a request may take, its body included.
const REQUEST: Duration = Duration::from_secs(60);
/// How long the head of a request, or the greeting of TLS, may take.
const HEAD: Duration = Duration::from_secs(15);
/// How long requests that run are waited for at the end.
const DRAIN: Duration = Duration::from_secs(15);
/// The most connections at a time.
const CONNECTIONS: usize = 512;
/// How often what waits for the audit is written.
const NOTES: Duration = Duration::from_secs(1);
/// How often the shop's own certificate is made anew.
const RENEW: Duration = Duration::from_secs(30 * 86_400);

/// Returns everything that is answered.
pub fn router(shop: Arc<Shop>) -> Router {
    let (api, description) = api::router().split_for_parts();
    let description = Arc::new(openapi::complete(description));
    let described = axum::routing::get(move || async move { Json(&*description).into_response() });
    api.route("/api/openapi.json", described)
        .fallback(site::serve)
        .method_not_allowed_fallback(|| async { StatusCode::METHOD_NOT_ALLOWED })
        .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, REQUEST))
        .layer(CatchPanicLayer::custom(|_| {
            tracing::error!("a request broke off in a panic");
            Problem::ours().into_response()
        }))
        .layer(middleware::from_fn_with_state(shop.clone(), problem::told))
        .layer(middleware::from_fn_with_state(shop.clone(), headers::add))
        .layer(middleware::from_fn_with_state(shop.clone(), metrics::count))
        .with_state(shop)
}

/// Returns what a listener of metrics alone answers.
fn metrics_router(shop: Arc<Shop>) -> Router {
    let page = |State(shop): State<Arc<Shop>>| async move { api::health::page(&shop).await };
    Router::new()
        .route("/metrics", axum::routing::get(page))
        .layer(middleware::from_fn_with_state(shop.clone(), problem::told))
        .with_state(shop)
}

/// Returns what a listener of plain HTTP answers that leads a phone to trust the shop's authority.
fn trust_router(shop: Arc<Shop>) -> Router {
    async fn trust(State(shop): State<Arc<Shop>>) -> Response {
        site::trust(&shop)
    }
    Router::new()
        .route("/trust", axum::routing::get(trust))
        .layer(middleware::from_fn_with_state(shop.clone(), problem::told))
        .with_state(shop)
}

/// The listeners of a server.
pub struct Listeners {
    /// Of the app and the interface.
    pub main: TcpListener,
    /// Of the metrics alone.
    pub metrics: Option<TcpListener>,
    /// Of the authority's certificate alone.
    pub trust: Option<TcpListener>,
}

impl Listeners {
    /// Opens the listeners that the settings want.
    ///
    /// # Errors
    /// The address that cannot be listened on.
    pub async fn open(config: &Config) -> std::io::Result<Self> {
        async fn listen(address: SocketAddr) -> std::io::Result<TcpListener> {
            TcpListener::bind(address)
                .await
                .map_err(|why| std::io::Error::new(why.kind(), format!("cannot listen on {address}: {why}")))
        }
        let several = |address: Option<SocketAddr>| async move {
            match address {
                Some(address) => listen(address).await.map(Some),
                None => Ok(None),
            }
        };
        Ok(Self {
            main: listen(config.listen).await?,
            metrics: several(config.metrics_listen).await?,
            trust: several(config.trust_listen).await?,
        })
    }
}

/// Serves until `end` is done; then lets what runs finish.
pub async fn serve(
    shop: Arc<Shop>,
    listeners: Listeners,
    tls: Option<tls::Set>,
    end: impl Future<Output = ()>,
) {
    let (stop, stopped) = watch::channel(false);
    let mut tasks = Vec::new();
    let fresh = tokio::spawn(summary::keep_fresh(shop.clone()));
    let notes = tokio::spawn({
        let shop = shop.clone();
        async move {
            loop {
                tokio::time::sleep(NOTES).await;
                // It was logged; what was not written waits on.
                let _ = shop.write_notes().await;
            }
        }
    });
    let renew = tls.as_ref().and_then(|set| set.own.clone()).map(|own| {
        tokio::spawn(async move {
            loop {
                tokio::time::sleep(RENEW).await;
                if let Err(why) = own.renew() {
                    tracing::error!(%why, "the certificate was not made anew");
                }
            }
        })
    });
    let acceptor = tls.map(|set| TlsAcceptor::from(set.server));
    tasks.push(tokio::spawn(accept(listeners.main, router(shop.clone()), acceptor, stopped.clone())));
    if let Some(listener) = listeners.metrics {
        tasks.push(tokio::spawn(accept(listener, metrics_router(shop.clone()), None, stopped.clone())));
    }
    if let Some(listener) = listeners.trust {
        tasks.push(tokio::spawn(accept(listener, trust_router(shop.clone()), None, stopped)));
    }
    end.await;
    tracing::info!("ending: what runs is finished first");
    // Nobody listens where every task has ended already.
    let _ = stop.send(true);
    for task in tasks {
        let _ = task.await;
    }
    for task in [Some(fresh), Some(notes), renew].into_iter().flatten() {
        task.abort();
        let _ = task.await;
    }
    if shop.write_notes().await.is_err() {
        tracing::error!("the last entries of the audit were not written");
    }
    tracing::info!("ended");
}

async fn accept(
    listener: TcpListener,
    router: Router,
    acceptor: Option<TlsAcceptor>,
    mut stopped: watch::Receiver<bool>,
) {
    let mut builder = Builder::new(TokioExecutor::new());
    builder.http1().timer(TokioTimer::new()).header_read_timeout(HEAD);
    builder.http2().timer(TokioTimer::new()).keep_alive_interval(HEAD).max_concurrent_streams(64);
    let builder = Arc::new(builder);
    let graceful = GracefulShutdown::new();
    let permits = Arc::new(Semaphore::new(CONNECTIONS));
    loop {
        let Ok(permit) = permits.clone().acquire_owned().await else { break };
        let (stream, peer) = tokio::select! {
            accepted = listener.accept() => match accepted {
                Ok(accepted) => accepted,
                Err(why) => {
                    tracing::warn!(%why, "a connection was not accepted");
                    tokio::time::sleep(Duration::from_millis(50)).await;
                    continue;
                }
            },
            _ = stopped.changed() => break,
        };
        // An answer is written at once, not held back for more.
        let _ = stream.set_nodelay(true);
        let (builder, router, acceptor, watcher) =
            (builder.clone(), router.clone(), acceptor.clone(), graceful.watcher());
        tokio::spawn(async move {
            let _permit = permit;
            connection(stream, peer, &builder, router, acceptor, watcher).await;
        });
    }
    drop(listener);
    if tokio::time::timeout(DRAIN, graceful.shutdown()).await.is_err() {
        tracing::warn!("requests still ran after {} s and were ended", DRAIN.as_secs());
    }
}

async fn connection(
    stream: TcpStream,
    peer: SocketAddr,
    builder: &Builder<TokioExecutor>,
    router: Router,
    acceptor: Option<TlsAcceptor>,
    watcher: hyper_util::server::graceful::Watcher,
) {
    let service = hyper::service::service_fn(move |request: hyper::Request<hyper::body::Incoming>| {
        let mut request: Request = request.map(axum::body::Body::new);
        request.extensions_mut().insert(Peer(peer));
        router.clone().oneshot(request)
    });
    let outcome = match acceptor {
        None => watcher.watch(builder.serve_connection(TokioIo::new(stream), service).into_owned()).await,
        Some(acceptor) => match tokio::time::timeout(HEAD, acceptor.accept(stream)).await {
            Ok(Ok(stream)) => {
                watcher.watch(builder.serve_connection(TokioIo::new(stream), service).into_owned()).await
            }
            // Somebody who speaks no TLS, or another; nothing of ours.
            Ok(Err(_)) | Err(_) => return,
        },
    };
    if let Err(why) = outcome {
        tracing::debug!(%why, "a connection broke off");
    }
}

/// Waits for the system to ask for the end.
pub async fn asked_to_end() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        let (Ok(mut term), Ok(mut int)) = (signal(SignalKind::terminate()), signal(SignalKind::interrupt()))
        else {
            return std::future::pending().await;
        };
        tokio::select! {
            _ = term.recv() => {}
            _ = int.recv() => {}
        }
    }
    #[cfg(not(unix))]
    {
        let _ = tokio::signal::ctrl_c().await;
    }
}
