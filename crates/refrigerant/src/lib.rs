//! The refrigerants we know: designation, composition, coefficients, tables; all from `data/`.
