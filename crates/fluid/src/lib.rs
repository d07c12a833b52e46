//! Properties and phase equilibria of a fluid, computed from the coefficients it is given.
