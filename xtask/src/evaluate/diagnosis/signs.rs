//! The baseline that a person has on paper: a table of directions, without and with a look at glass and fans.

use diagnosis::fault::{Against, Fault, Kind, Reading};

/// What the table names.
#[derive(Clone, Copy)]
pub struct Signs {
    /// By the measured readings alone.
    pub plain: Fault,
    /// With glass and fans.
    pub with_eyes: Fault,
}

/// Low, high, suction line, discharge, condenser air, coil air, after the drier: directions for a thermostatic valve,
/// after the judgement table of the trade; halves where it leaves the sign open.
const TABLE: [(Fault, [f64; 7]); 9] = [
    (Fault::Under, [-1.0, -0.5, 1.0, 1.0, -0.5, 0.5, 0.0]),
    (Fault::Over, [0.0, 1.0, 0.0, 1.0, 0.0, 0.0, 0.0]),
    (Fault::CondenserDirt, [0.5, 1.0, 0.0, 1.0, 1.0, 0.0, 0.5]),
    (Fault::CoilIce, [-1.0, -0.3, -0.5, 0.0, -0.3, -0.5, 0.0]),
    (Fault::Restriction, [-1.0, 0.0, 1.0, 1.0, 0.0, 0.5, -1.0]),
    (Fault::Underfeed, [-1.0, -0.3, 1.0, 1.0, 0.0, 0.5, 0.0]),
    (Fault::Overfeed, [0.7, 0.2, -1.0, -1.0, 0.0, 0.0, 0.0]),
    (Fault::ValveLeak, [1.0, -1.0, 0.0, 0.0, -0.5, 0.7, 0.0]),
    (Fault::NonCondensable, [0.0, 1.0, 0.0, 0.7, 0.0, 0.0, 0.0]),
];

/// Returns the fault whose directions agree most with readings against the healthy system's.
pub fn named(against: &[Against], readings: &[Reading]) -> Signs {
    let of = |kind: Kind| against.iter().find(|a| a.kind == kind).map_or(0.0, |a| a.off().clamp(-3.0, 3.0));
    let eye = |kind: Kind| readings.iter().find(|r| r.kind == kind).map_or(1.0, |r| r.value);
    let x = [
        of(Kind::Low),
        of(Kind::High),
        of(Kind::SuctionLine),
        of(Kind::Discharge),
        of(Kind::CondenserAir),
        of(Kind::CoilAir),
        of(Kind::AfterDrier),
    ];
    let quiet = x.iter().all(|x| x.abs() < 2.0);
    let bubbles = eye(Kind::Glass) > 0.5;
    let best = |looks: bool| {
        let score = |fault: Fault, signs: &[f64; 7]| {
            let size = units::math::sqrt(signs.iter().map(|s| s * s).sum::<f64>());
            let agrees = x.iter().zip(signs).map(|(x, s)| x * s).sum::<f64>() / size;
            let short = matches!(fault, Fault::Under | Fault::Restriction);
            agrees + if looks && short == bubbles { 1.5 } else { 0.0 }
        };
        TABLE
            .iter()
            .max_by(|a, b| score(a.0, &a.1).total_cmp(&score(b.0, &b.1)))
            .map_or(Fault::None, |best| best.0)
    };
    let with_eyes = if eye(Kind::CoilFans) < 0.99 {
        Fault::CoilFan
    } else if eye(Kind::CondenserFans) < 0.99 {
        Fault::CondenserFan
    } else if quiet && !bubbles {
        Fault::None
    } else {
        best(true)
    };
    Signs { plain: if quiet { Fault::None } else { best(false) }, with_eyes }
}
