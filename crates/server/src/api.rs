//! The interface under `/api/v1`.

mod apprentice;
pub mod audit;
pub mod blob;
pub mod devices;
pub mod health;
pub mod jobs;
pub mod lists;
pub mod money;
pub mod passkeys;
pub mod people;
pub mod session;
pub mod sync;
pub mod tables;
pub mod watch;
mod words;

use crate::problem::{Done, Problem};
use crate::shop::Shop;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::{IntoParams, ToSchema};
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes;

/// The greatest whole number that every reader of JSON keeps exactly.
pub const EXACT: u64 = (1 << 53) - 1;
const PAGE: u64 = 100;
const MOST: u64 = 500;

/// Which part of a list is asked for.
#[derive(Clone, Copy, Debug, Default, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
pub struct Part {
    /// What `next` said in the part before; absent for the first.
    #[param(minimum = 0, maximum = 9_007_199_254_740_991_u64)]
    pub after: Option<u64>,
    /// The most rows wanted.
    #[param(minimum = 1, maximum = 500, default = 100)]
    pub limit: Option<u64>,
}

impl Part {
    /// Returns where the part begins, and how many rows it has.
    ///
    /// # Errors
    /// A number is out of range.
    pub fn read(self) -> Done<(Option<u64>, usize)> {
        let limit = self.limit.unwrap_or(PAGE);
        if !(1..=MOST).contains(&limit) {
            return Err(Problem::unreadable(format!("limit is {limit}; from 1 to {MOST}")));
        }
        if let Some(after) = self.after.filter(|after| *after > EXACT) {
            return Err(Problem::unreadable(format!("after is {after}; at most {EXACT}")));
        }
        Ok((self.after, usize::try_from(limit).unwrap_or(1)))
    }
}

/// A part of a list.
#[derive(Clone, Debug, Serialize, ToSchema)]
pub struct Rows<T> {
    /// The rows.
    pub rows: Vec<T>,
    /// What to ask for as `after` to get the next part; absent at the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub next: Option<u64>,
}

impl<T> Rows<T> {
    /// Returns the part of a list that `found` is; `mark` gives what a row is continued after.
    pub fn new<S>(found: Vec<S>, limit: usize, mark: impl Fn(&S) -> u64, view: impl Fn(S) -> T) -> Self {
        let next = found.last().filter(|_| found.len() >= limit).map(mark);
        Self { rows: found.into_iter().map(view).collect(), next }
    }
}

/// Returns the interface with its description.
pub fn router() -> OpenApiRouter<Arc<Shop>> {
    let v1 = OpenApiRouter::new()
        .routes(routes!(session::pair))
        .routes(routes!(session::login))
        .routes(routes!(session::logout))
        .routes(routes!(session::me))
        .routes(routes!(session::change_password))
        .routes(routes!(passkeys::ways))
        .routes(routes!(passkeys::begin_login))
        .routes(routes!(passkeys::login))
        .routes(routes!(passkeys::list, passkeys::add))
        .routes(routes!(passkeys::begin))
        .routes(routes!(passkeys::remove))
        .routes(routes!(people::list, people::add))
        .routes(routes!(people::change))
        .routes(routes!(people::table))
        .routes(routes!(devices::list))
        .routes(routes!(devices::table))
        .routes(routes!(devices::revoke))
        .routes(routes!(devices::invite))
        .routes(routes!(sync::sync))
        .routes(routes!(blob::get, blob::head, blob::patch))
        .routes(routes!(jobs::list))
        .routes(routes!(jobs::table))
        .routes(routes!(jobs::one))
        .routes(routes!(jobs::events))
        .routes(routes!(jobs::report))
        .routes(routes!(tables::search))
        .routes(routes!(tables::search_table))
        .routes(routes!(tables::glance))
        .routes(routes!(tables::systems))
        .routes(routes!(tables::system))
        .routes(routes!(tables::building))
        .routes(routes!(tables::systems_table))
        .routes(routes!(tables::due))
        .routes(routes!(tables::due_table))
        .routes(routes!(tables::due_calendar))
        .routes(routes!(tables::accounts))
        .routes(routes!(tables::accounts_table))
        .routes(routes!(money::money))
        .routes(routes!(money::quote))
        .routes(routes!(money::invoice))
        .routes(routes!(money::margin))
        .routes(routes!(money::number))
        .routes(routes!(money::table))
        .routes(routes!(lists::lists))
        .routes(routes!(lists::table))
        .routes(routes!(lists::put_customers))
        .routes(routes!(lists::put_prices))
        .routes(routes!(watch::list, watch::put))
        .routes(routes!(audit::list))
        .routes(routes!(audit::table));
    OpenApiRouter::new()
        .nest("/api/v1", v1)
        .routes(routes!(health::healthz))
        .routes(routes!(health::readyz))
        .routes(routes!(health::metrics))
}
