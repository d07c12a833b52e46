//! Losses as bars with their ends, all on one axis.

use job::shop::{Loss, LossKind};
use leptos::prelude::*;

/// Returns where the axis of these losses ends, in percent of the charge a year; nothing where none has a share.
pub fn axis<'a>(losses: impl IntoIterator<Item = &'a Loss>) -> Option<f64> {
    let ends = losses.into_iter().filter_map(|loss| loss.high_percent.or(loss.percent));
    let most = ends.fold(0.0_f64, f64::max);
    if most <= 0.0 {
        return None;
    }
    [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0]
        .into_iter()
        .find(|end| *end >= most)
        .or(Some(most))
}

/// Returns the bar of a loss; of a bound a bar that goes on. What it says stands in words beside it.
pub fn bar(loss: &Loss, end: f64) -> Option<AnyView> {
    let at = |percent: f64| format!("{:.2}%", (100.0 * percent / end).clamp(0.0, 100.0));
    let best = loss.percent?;
    let low = loss.low_percent.unwrap_or(best);
    let high = loss.high_percent.unwrap_or(end);
    let goes_on = loss.kind == LossKind::AtLeast;
    let dash = if goes_on { "6 5" } else { "none" };
    let right =
        (!goes_on).then(|| view! { <line x1=at(high) x2=at(high) y1="3" y2="25" class="loss-end" /> });
    let ring = (!goes_on).then(|| view! { <circle cx=at(best) cy="14" r="6" class="loss-best" /> });
    Some(
        view! {
            <svg class="loss-bar" aria-hidden="true" focusable="false">
                <line x1="0" x2="100%" y1="14" y2="14" class="loss-axis" />
                <line x1=at(low) x2=at(high) y1="14" y2="14" class="loss-span" stroke-dasharray=dash />
                <line x1=at(low) x2=at(low) y1="3" y2="25" class="loss-end" />
                {right}
                {ring}
            </svg>
        }
        .into_any(),
    )
}
