//! The refrigerant of a question: a designation, or a composition somebody gives.

use crate::Refused;
use cycle::Table;
use fluid::{CompositionError, Fluid};
use refrigerant::{BlendError, Grade, Refrigerant};
use report::Message;
use std::sync::{Arc, OnceLock};

/// A refrigerant to compute with.
#[derive(Clone)]
pub struct Substance {
    /// The designation, or the composition as typed.
    pub name: String,
    /// The equations at this composition.
    pub fluid: Fluid,
    /// The known refrigerant, absent where a composition was given.
    pub known: Option<&'static Refrigerant>,
    /// What the cycle asks of it, worked out at the first question; clones share it.
    table: Arc<OnceLock<Option<Table>>>,
}

impl Substance {
    /// Returns the refrigerant called `name`; with `composition` (`R-32=0.26,R-125=26%,...`) that mixture instead.
    ///
    /// # Errors
    /// [`Refused`]: a name nobody knows, a composition that is not one.
    pub fn read(name: &str, composition: Option<&str>) -> Result<Self, Refused> {
        if let Some(text) = composition {
            return mixture(text);
        }
        let known = refrigerant::find(name).ok_or_else(|| {
            Refused::new(
                "unknown_refrigerant",
                "refrigerant",
                name,
                refrigerant::suggestions(name).join(", "),
                Message::new("refused-unknown-refrigerant"),
            )
        })?;
        Ok(Self {
            name: known.designation().to_owned(),
            fluid: known.fluid(),
            known: Some(known),
            table: Arc::default(),
        })
    }

    /// Returns what the cycle asks of it, worked out once for it and its clones; nothing where its equations do not reach.
    #[must_use]
    pub fn table(&self) -> Option<&Table> {
        self.table.get_or_init(|| Table::new(&self.fluid).ok()).as_ref()
    }

    /// Takes over what was worked out for the same refrigerant before.
    pub fn share(&mut self, before: &Self) {
        if self.name == before.name && self.known.is_some() == before.known.is_some() {
            // A composition somebody gives is a fluid of its own each time it is read; its saturation table goes with it.
            self.fluid = before.fluid.clone();
            self.table = Arc::clone(&before.table);
        }
    }

    /// Returns the grade of the mixing model, `given composition` where nobody graded it.
    #[must_use]
    pub fn grade(&self) -> &'static str {
        match self.known.map(Refrigerant::grade) {
            None => "given composition",
            Some(grade) => grade_word(grade),
        }
    }

    /// Returns the glide-free test: whether bubble and dew differ enough to matter which is used, at this pressure.
    #[must_use]
    pub fn is_single(&self) -> bool {
        self.fluid.mole_fractions().len() == 1
    }
}

/// Returns a grade as it is written.
#[must_use]
pub const fn grade_word(grade: Grade) -> &'static str {
    match grade {
        Grade::Pure => "pure",
        Grade::A => "A",
        Grade::AMinus => "A-",
        Grade::B => "B",
        Grade::Anchored => "anchored",
        Grade::C => "C",
    }
}

const EXAMPLE: &str = "R-32=0.26,R-125=0.26,R-134a=0.21,R-1234yf=0.2,R-1234ze(E)=0.07";

fn mixture(text: &str) -> Result<Substance, Refused> {
    let form = |given: &str| {
        Refused::new(
            "composition_form",
            "composition",
            given,
            EXAMPLE,
            Message::new("refused-composition-form"),
        )
    };
    let mut parts: Vec<(&str, f64)> = Vec::new();
    for item in text.split([',', ';']).filter(|item| !item.trim().is_empty()) {
        let (name, part) = item.split_once('=').ok_or_else(|| form(item.trim()))?;
        let part: units::Fraction = part.trim().parse().map_err(|_| form(item.trim()))?;
        parts.push((name.trim(), part.ratio()));
    }
    if parts.is_empty() {
        return Err(form(text));
    }
    let fluid = refrigerant::blend(&parts).map_err(|error| blend_error(text, &error))?;
    Ok(Substance { name: text.to_owned(), fluid, known: None, table: Arc::default() })
}

fn blend_error(text: &str, error: &BlendError) -> Refused {
    match error {
        BlendError::UnknownComponent { part, near } => {
            let name =
                text.split([',', ';']).filter(|item| !item.trim().is_empty()).nth(*part).unwrap_or(text);
            let name = name.split('=').next().unwrap_or(name).trim();
            Refused::new(
                "unknown_component",
                "--composition",
                name,
                near.join(", "),
                Message::new("refused-composition-component"),
            )
        }
        BlendError::Twice { component } => {
            let message = Message::new("refused-composition-form");
            Refused::new("component_twice", "--composition", *component, EXAMPLE, message)
        }
        BlendError::Composition(CompositionError::Sum { given }) => Refused::new(
            "composition_sum",
            "--composition",
            format!("{given:.6}"),
            "1",
            Message::new("refused-composition-sum"),
        ),
        BlendError::Composition(_) => Refused::new(
            "composition",
            "--composition",
            text,
            EXAMPLE,
            Message::new("refused-composition-form"),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn same_table(a: &Substance, b: &Substance) -> bool {
        core::ptr::eq(a.fluid.saturation_table().unwrap(), b.fluid.saturation_table().unwrap())
    }

    /// A screen that is drawn again at each keystroke reads its refrigerant again: the table is not made again.
    #[test]
    fn a_designation_read_twice_has_one_saturation_table() {
        let read = |name| Substance::read(name, None).unwrap();
        assert!(same_table(&read("R-448A"), &read("448a")));
        assert!(!same_table(&read("R-448A"), &read("R-404A")));
    }

    #[test]
    fn a_composition_given_takes_its_table_over_from_the_visit_before() {
        let read = || Substance::read("", Some("R-32=0.5,R-134a=0.5")).unwrap();
        let (before, mut after) = (read(), read());
        assert!(!same_table(&before, &after));
        after.share(&before);
        assert!(same_table(&before, &after));
        let mut other = Substance::read("", Some("R-32=0.4,R-134a=0.6")).unwrap();
        other.share(&before);
        assert!(!same_table(&before, &other));
    }
}
