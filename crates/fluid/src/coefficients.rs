//! The coefficients an equation of state is made of, as plain constant data.
//!
//! Symbols are those of the papers: `tau` = reducing temperature over temperature, `delta` = density over reducing
//! density, `n t d l eta epsilon beta gamma` the coefficients of a term.

/// A term `n tau^t delta^d exp(-delta^l) exp(-tau^m)`; an exponential is absent where its exponent is zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Power {
    /// Coefficient.
    pub n: f64,
    /// Exponent of tau.
    pub t: f64,
    /// Exponent of delta.
    pub d: u8,
    /// Exponent of delta within the exponential, or 0.
    pub l: u8,
    /// Exponent of tau within the exponential, or 0.
    pub m: f64,
}

/// A term `n tau^t delta^d exp(-eta (delta - epsilon)^2 - beta (tau - gamma)^2)`.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Gaussian {
    pub n: f64,
    pub t: f64,
    pub d: u8,
    pub eta: f64,
    pub epsilon: f64,
    pub beta: f64,
    pub gamma: f64,
}

/// A term `n tau^t delta^d exp(eta (delta - epsilon)^2 + 1 / (beta (tau - gamma)^2 + b))`, of the equation for R-717.
///
/// Source: Gao, Wu, Bell, Lemmon, J. Phys. Chem. Ref. Data 49 (2020).
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Gao {
    pub n: f64,
    pub t: f64,
    pub d: u8,
    pub eta: f64,
    pub epsilon: f64,
    pub beta: f64,
    pub gamma: f64,
    pub b: f64,
}

/// A term `n Delta^b delta psi` that is not analytic at the critical point, of the equation for R-744.
///
/// Source: Span, Wagner, J. Phys. Chem. Ref. Data 25 (1996) 1509, table 32.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct NonAnalytic {
    pub n: f64,
    pub a: f64,
    pub b: f64,
    pub beta: f64,
    pub capital_a: f64,
    pub capital_b: f64,
    pub capital_c: f64,
    pub capital_d: f64,
}

/// One term of the ideal part, `alpha0 = ln(delta) + sum of these`.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(missing_docs)]
pub enum Ideal {
    /// `a1 + a2 tau`
    Lead { a1: f64, a2: f64 },
    /// `a ln(tau)`
    LogTau { a: f64 },
    /// `n tau^t`
    Power { n: f64, t: f64 },
    /// `n ln(1 - exp(-t tau))`
    PlanckEinstein { n: f64, t: f64 },
    /// A term `c T^t` of cp0/R, integrated from `from`, in kelvin.
    HeatCapacity { c: f64, t: f64, from: f64 },
}

/// An equation for saturation, used only as a first guess.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ancillary {
    /// `value (1 + sum)` if true, else `value exp(f sum)`.
    pub one_plus: bool,
    /// `f = T_r / T` if true, else 1.
    pub over_temperature: bool,
    /// The temperature `T_r` of `theta = 1 - T / T_r`, in kelvin.
    pub temperature: f64,
    /// The factor, in pascal or mole per cubic metre.
    pub value: f64,
    /// `(n, t)` of the sum of `n theta^t`.
    pub terms: &'static [(f64, f64)],
}

/// A pure fluid: its fundamental equation and the range it holds in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Component {
    /// Designation, such as `R-134a`.
    pub name: &'static str,
    /// Registry number of the Chemical Abstracts Service, by which pairs are found.
    pub cas: &'static str,
    /// Molar mass in kilogram per mole.
    pub molar_mass: f64,
    /// Gas constant of this equation, in joule per mole and kelvin.
    pub gas_constant: f64,
    /// Acentric factor.
    pub acentric_factor: f64,
    /// Reducing temperature in kelvin.
    pub reducing_temperature: f64,
    /// Reducing density in mole per cubic metre.
    pub reducing_density: f64,
    /// Critical temperature in kelvin.
    pub critical_temperature: f64,
    /// Critical pressure in pascal.
    pub critical_pressure: f64,
    /// Critical density in mole per cubic metre.
    pub critical_density: f64,
    /// Triple point temperature in kelvin.
    pub triple_point: f64,
    /// Highest temperature of the equation, in kelvin.
    pub highest_temperature: f64,
    /// Highest pressure of the equation, in pascal.
    pub highest_pressure: f64,
    /// Power terms of the residual part.
    pub power: &'static [Power],
    /// Gaussian terms of the residual part.
    pub gaussian: &'static [Gaussian],
    /// Terms of the form of R-717.
    pub gao: &'static [Gao],
    /// Terms of the form of R-744.
    pub non_analytic: &'static [NonAnalytic],
    /// The ideal part.
    pub ideal: &'static [Ideal],
    /// First guess of the saturation pressure.
    pub saturation_pressure: Ancillary,
    /// First guess of the saturated liquid's density.
    pub liquid_density: Ancillary,
    /// First guess of the saturated vapour's density.
    pub vapour_density: Ancillary,
}

/// The mixing parameters of a pair, for the order of components in which they are given.
///
/// Source of the form: Kunz, Wagner, J. Chem. Eng. Data 57 (2012) 3032, equations 16 and 17; the parameters `xi` and
/// `zeta` of Lemmon, Jacobsen, J. Phys. Chem. Ref. Data 33 (2004) 593 are the case `beta = 1`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reducing {
    /// `beta` and `gamma` of temperature and of volume.
    BetaGamma {
        /// Asymmetry of the reducing temperature.
        beta_t: f64,
        /// Factor of the reducing temperature.
        gamma_t: f64,
        /// Asymmetry of the reducing volume.
        beta_v: f64,
        /// Factor of the reducing volume.
        gamma_v: f64,
    },
    /// Additions to the reducing temperature, in kelvin, and volume, in cubic metre per mole.
    XiZeta {
        /// Addition to the sum of the two temperatures.
        xi: f64,
        /// Addition to the sum of the two volumes.
        zeta: f64,
    },
    /// No measured data: the pair is estimated by the rules of Lorentz and Berthelot.
    Estimated,
}

/// A pair of components: reducing parameters, and a departure function where one was fitted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// How the reducing functions are bent.
    pub reducing: Reducing,
    /// Factor of the departure function, 0 if there is none.
    pub factor: f64,
    /// Terms of the departure function.
    pub departure: &'static [Power],
}

impl Pair {
    /// A pair without data, estimated by the rules of Lorentz and Berthelot.
    pub const ESTIMATED: Self = Self { reducing: Reducing::Estimated, factor: 0.0, departure: &[] };

    /// Returns the same pair for the components in the other order.
    #[must_use]
    pub fn reversed(self) -> Self {
        let reducing = match self.reducing {
            Reducing::BetaGamma { beta_t, gamma_t, beta_v, gamma_v } => {
                Reducing::BetaGamma { beta_t: 1.0 / beta_t, gamma_t, beta_v: 1.0 / beta_v, gamma_v }
            }
            other => other,
        };
        Self { reducing, ..self }
    }
}
