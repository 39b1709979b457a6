//! How findings speak of measures.

use super::candidates::Candidate;
use crate::quantity::print;
use crate::quantity::{Dimension, UnitId, Units};
use crate::recipe::{Course, MeasureId, Owner};

/// A measure as a cook would call it: "the recipe's milk", "the temperature that “Heat the milk” reaches".
pub fn owner(course: &Course, id: MeasureId) -> String {
    let measure = course.measure(id);
    let last = measure.path.rsplit('.').next().unwrap_or("");
    let lesson = |index: usize| &course.lessons[index];
    match measure.owner {
        Owner::Ingredient { lesson: at, ingredient } => {
            format!("the {} in the recipe", ingredient_name(course, at, ingredient))
        }
        Owner::Share { lesson: at, ingredient } => format!("the share of {}", ingredient_name(course, at, ingredient)),
        Owner::Product { .. } => "what the recipe makes".to_owned(),
        Owner::Leftover { lesson: at, leftover } => match &lesson(at).recipe {
            Some(recipe) => format!("the {} the recipe leaves", recipe.leaves[leftover].name),
            None => "what the recipe leaves".to_owned(),
        },
        Owner::Equipment { lesson: at, equipment } => {
            let name =
                lesson(at).recipe.as_ref().map_or("equipment", |recipe| recipe.equipment[equipment].name.text.as_str());
            match last {
                "holds" => format!("what the {name} holds"),
                "size" => format!("the size of the {name}"),
                _ => format!("the number of {name}"),
            }
        }
        Owner::Keeping { .. } if last == "at" => "how cold it is kept".to_owned(),
        Owner::Keeping { .. } => "how long it keeps".to_owned(),
        Owner::Session { .. } => "the length of the session".to_owned(),
        Owner::Loss { .. } => "the share that is lost".to_owned(),
        Owner::Named { .. } => format!("the recipe's `{last}`"),
        Owner::Sum { .. } => format!("the sum's `{last}`"),
        Owner::Part { lesson: at, step, ingredient } => {
            let name = ingredient_name(course, at, ingredient);
            format!("the part of the {name} that goes in at “{}”", lesson(at).steps[step].title)
        }
        Owner::Step { lesson: at, step } => {
            let title = &lesson(at).steps[step].title;
            match last {
                "to" => format!("the temperature that “{title}” reaches"),
                "at" => format!("the temperature that “{title}” holds"),
                "from" => format!("the temperature that “{title}” starts from"),
                "for" => format!("the time that must pass in “{title}”"),
                "takes" => format!("the time that “{title}” takes"),
                name => format!("`{name}` of “{title}”"),
            }
        }
        Owner::Fact { .. } => format!("the fact `{last}`"),
    }
}

/// What the model says of a measure, as a clause: "the recipe takes 4 L of whole milk", "“Heat the milk” reaches 92 °C".
pub(super) fn clause(course: &Course, candidate: &Candidate, value: &str) -> String {
    let measure = course.measure(candidate.measure);
    let last = measure.path.rsplit('.').next().unwrap_or("");
    match measure.owner {
        Owner::Ingredient { lesson: at, ingredient } => {
            let name = ingredient_name(course, at, ingredient);
            if candidate.low.quantity == measure.amount.low.quantity {
                format!("the recipe takes {value} of {name}")
            } else {
                format!("the recipe has {name}, and what is left of it here is {value}")
            }
        }
        Owner::Share { lesson: at, ingredient } => {
            let base =
                course.lessons[at].recipe.as_ref().and_then(|recipe| recipe.ingredients[ingredient].share.as_ref());
            let of = base.map(|(_, base)| format!(" of the {base}")).unwrap_or_default();
            format!("the {} is {value}{of}", ingredient_name(course, at, ingredient))
        }
        Owner::Product { .. } => format!("the recipe makes {value}"),
        Owner::Leftover { lesson: at, leftover } => match &course.lessons[at].recipe {
            Some(recipe) => format!("the recipe leaves {value} of {}", recipe.leaves[leftover].name),
            None => format!("the recipe leaves {value}"),
        },
        Owner::Equipment { lesson: at, equipment } => {
            let recipe = course.lessons[at].recipe.as_ref();
            let name = recipe.map_or("equipment", |recipe| recipe.equipment[equipment].name.text.as_str());
            match last {
                "holds" => format!("the {name} holds {value}"),
                "size" => format!("the {name} measures {value}"),
                _ => format!("the recipe needs {value} of the {name}"),
            }
        }
        Owner::Keeping { .. } if last == "at" => format!("it is kept at {value}"),
        Owner::Keeping { .. } => format!("it keeps {value}"),
        Owner::Session { .. } => format!("the session lasts {value}"),
        Owner::Loss { .. } => format!("{value} of what goes in is lost"),
        Owner::Named { .. } => format!("the recipe's `{last}` is {value}"),
        Owner::Sum { .. } => format!("the sum's `{last}` is {value}"),
        Owner::Part { lesson: at, step, ingredient } => {
            let name = ingredient_name(course, at, ingredient);
            format!("“{}” takes {value} of the {name}", course.lessons[at].steps[step].title)
        }
        Owner::Step { lesson: at, step } => {
            let title = &course.lessons[at].steps[step].title;
            match last {
                "to" => format!("“{title}” reaches {value}"),
                "at" => format!("“{title}” holds {value}"),
                "from" => format!("“{title}” starts from {value}"),
                "for" => format!("“{title}” lasts {value}"),
                "takes" => format!("“{title}” takes {value}"),
                name => format!("`{name}` of “{title}” is {value}"),
            }
        }
        Owner::Fact { .. } => format!("the fact `{last}` is {value}"),
    }
}

fn ingredient_name(course: &Course, lesson: usize, ingredient: usize) -> &str {
    course.lessons[lesson].recipe.as_ref().map_or("ingredient", |recipe| &recipe.ingredients[ingredient].name)
}

/// A candidate's value in the units its author wrote.
pub(super) fn value(candidate: &Candidate, units: &Units) -> String {
    if candidate.low.unit == units.fraction() {
        return print::fraction(candidate.low.quantity.base(), units.style());
    }
    print::amount(&candidate.amount(), units, units.style())
}

/// A candidate's value in another unit of the same kind: "197.6 °F", "7.039–7.2 pints".
pub(super) fn value_in(candidate: &Candidate, unit: UnitId, bare: bool, units: &Units) -> Option<String> {
    if units.get(unit).dimension != candidate.low.quantity.dimension() {
        return None;
    }
    let show = |base| print::value_in(base, unit, bare, units, units.style());
    let (low, high) = (candidate.low.quantity.base(), candidate.high.quantity.base());
    Some(if candidate.range { format!("{} to {}", show(low), show(high)) } else { show(low) })
}

/// The key under which a step would declare a measure of a kind.
pub(super) fn key_for(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Temperature => "`to` or `at`",
        Dimension::Time => "`for` or `takes`",
        _ => "`measures`",
    }
}
