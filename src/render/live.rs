//! The figures of a page that its script may change: which there are, and how each stands in its sentence.

use super::Cx;
use super::amounts::{Other, Thing, tools};
use super::mentions::Placed;
use crate::check::measure_name;
use crate::kitchen::{Choice, Kitchens, LiveData, LiveMeasure, LiveMention, MeasuredBy, Reader, Role, Shown, Tool};
use crate::quantity::print::{self, capital};
use crate::quantity::{Amount, Bound, Dimension, Exact, Unit, UnitId};
use crate::recipe::{Course, MeasureId, Owner};
use std::cell::RefCell;
use std::ops::Deref;

/// A page in the making: what all pages are made from, and the live figures of this one.
pub(super) struct Page<'a> {
    cx: &'a Cx<'a>,
    /// None on pages whose figures stand still.
    live: Option<RefCell<LiveData>>,
}

impl<'a> Deref for Page<'a> {
    type Target = Cx<'a>;

    fn deref(&self) -> &Cx<'a> {
        self.cx
    }
}

/// How a mention is marked on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Marked {
    /// Its number.
    pub number: usize,
    /// Bytes before its words that change with them: an article.
    pub before: usize,
    /// Bytes after them: the things that are counted.
    pub after: usize,
    /// Whether its brackets go with it.
    pub bracketed: bool,
}

/// A measure as lists show it, beside its words.
pub(super) struct Listed<'o> {
    pub amount: Amount,
    /// Its ends, where it is a part of the amount.
    pub ends: Option<(Exact, Exact)>,
    pub thing: Thing,
    pub other: Option<&'o Other>,
    /// Whether it is what a pot holds.
    pub pot: bool,
}

impl Listed<'_> {
    /// A whole measure.
    pub(super) fn whole(amount: Amount, thing: Thing) -> Listed<'static> {
        Listed { amount, ends: None, thing, other: None, pot: false }
    }
}

impl<'a> Page<'a> {
    /// A page whose figures change.
    pub(super) fn live(cx: &'a Cx<'a>) -> Page<'a> {
        Page { cx, live: cx.printer.kitchens().map(|_| RefCell::default()) }
    }

    /// A page whose figures stand still.
    pub(super) fn still(cx: &'a Cx<'a>) -> Page<'a> {
        Page { cx, live: None }
    }

    /// Whether its figures change.
    pub(super) fn is_live(&self) -> bool {
        self.live.is_some()
    }

    fn with<T>(&self, make: impl FnOnce(&mut LiveData, &Kitchens<'a>) -> T) -> Option<T> {
        let kitchens = self.cx.printer.kitchens()?;
        Some(make(&mut self.live.as_ref()?.borrow_mut(), kitchens))
    }

    /// The page's figures so far.
    pub(super) fn data(&self) -> Option<(LiveData, &Kitchens<'a>)> {
        Some((self.live.as_ref()?.borrow().clone(), self.cx.printer.kitchens()?))
    }

    /// The author's own conversion of a measure: two figures for one thing would make a student wonder.
    fn stated(&self, amount: &Amount, id: MeasureId) -> Option<Amount> {
        self.cx.printer.stated(amount, self.cx.mentions.stated(id))
    }

    /// What a mention shows to a reader's choice; nothing where the author's words hold.
    pub(super) fn shown(&self, number: usize, choice: &Choice) -> Option<Shown> {
        self.with(|data, kitchens| {
            let mention = data.mentions.get(number)?;
            kitchens.show(data.measures.get(mention.measure)?, mention, choice)
        })?
    }

    /// The numbers of a measure in a list, and of its conversion.
    pub(super) fn list(
        &self,
        id: MeasureId,
        name: Option<String>,
        listed: &Listed<'_>,
    ) -> (Option<usize>, Option<usize>) {
        let numbers = self.with(|data, kitchens| {
            let Listed { amount, thing, .. } = listed;
            let measure = self.cx.course.measure(id);
            let (low, high) = listed.ends.unwrap_or((amount.low.quantity.base(), amount.high.quantity.base()));
            let name = name.unwrap_or_else(|| name_of(self.cx.course, id));
            let fixed = is_fixed(amount, kitchens);
            let unit = kitchens.units().get(amount.unit());
            let pot = listed.pot || thing.is_pot(unit.dimension, low);
            let number = data.measure(live_measure(name, amount, (low, high), measure.scales, thing.held(listed.pot)));
            let tool = if pot { Tool::Pot } else { Tool::of_unit(unit) };
            let about = if amount.about { "about " } else { "" };
            let first = LiveMention {
                role: if fixed {
                    Role::Fixed
                } else if listed.other.is_some() {
                    Role::First
                } else {
                    Role::Alone
                },
                prefix: format!("{}{about}", print::bound_words(amount.bound)),
                plain: amount.about,
                abroad: if pot { Tool::Pot } else { tools(unit, *thing)[0] },
                stated: self.stated(amount, id),
                ..bare_mention(number, amount.unit(), amount.bare, kitchens.reader_of(amount.unit()), tool)
            };
            let beside = listed.other.map(|other| LiveMention {
                role: if fixed { Role::Fixed } else { Role::Beside(MeasuredBy { reader: first.reader, tool }) },
                kept: other.mark.clone().unwrap_or_default(),
                ..bare_mention(number, amount.unit(), amount.bare, other.reader, other.tool)
            });
            let first = data.mention(first);
            (first, beside.map(|beside| data.mention(beside)))
        });
        numbers.map_or((None, None), |(first, beside)| (Some(first), beside))
    }

    /// How a mention in the words is marked, with the words of its sentence before and after it.
    pub(super) fn mark(&self, placed: Placed<'_>, before: &str, after: &str) -> Option<Marked> {
        let Placed { entry, measure: id, converts } = placed;
        self.with(|data, kitchens| {
            let course = self.cx.course;
            let (mention, measure) = (&entry.mention, course.measure(id));
            let says = entry.says.unwrap_or(measure.amount);
            let crossed = mention.amount.dimension() != says.dimension();
            let unit = kitchens.units().get(mention.amount.unit());
            let thing = thing_of(self.cx, id, says.dimension());
            let held = is_pot(measure.owner, unit.dimension);
            let is_pot = |unit: &Unit| {
                held || thing.is_pot(unit.dimension, says.low.quantity.base()) && Tool::of_unit(unit) != Tool::Spoons
            };
            let pot = is_pot(unit);
            let tool_of = |unit: &Unit| if is_pot(unit) { Tool::Pot } else { Tool::of_unit(unit) };
            // Words that state one value of a range, or a limit of it, keep that value.
            let whole = crossed || mention.times.is_some() || mention.amount.range == says.range;
            let said = if whole { says } else { mention.amount };
            let said = Amount { bound: mention.amount.bound, ..said };
            let ends = (said.low.quantity.base(), said.high.quantity.base());
            let number = data.measure(live_measure(name_of(course, id), &said, ends, measure.scales, thing.held(held)));
            let bracketed = !crossed && is_bracket(before) && after.starts_with(')');
            let role = match (is_fixed(&mention.amount, kitchens), converts, crossed) {
                (true, ..) => Role::Fixed,
                (false, _, true) => Role::Alone,
                (false, None, false) if mention.pair.is_some() => Role::First,
                (false, None, false) => Role::Alone,
                (false, Some(first), false) if bracketed => {
                    let unit = first.mention.amount.unit();
                    let tool = tool_of(kitchens.units().get(unit));
                    Role::Beside(MeasuredBy { reader: kitchens.reader_of(unit), tool })
                }
                (false, Some(_), false) => Role::Second,
            };
            let core =
                print::core(&mention.text, mention.amount.range, kitchens.units()).unwrap_or(0..mention.text.len());
            let (prefix, words, suffix) =
                (&mention.text[..core.start], &mention.text[core.clone()], &mention.text[core.end..]);
            let article = if prefix.is_empty() { article(before) } else { None };
            let counted = counted(self.cx.course, measure.owner, &said, measure.scales, after);
            let suffix = |one: bool| {
                let things = counted.as_ref().map_or("", |(_, single, several)| if one { single } else { several });
                format!("{suffix}{things}")
            };
            let tool = tool_of(unit);
            let made = LiveMention {
                role,
                abroad: if pot { Tool::Pot } else { abroad(crossed, unit, thing) },
                article: article.map(|(letter, _)| letter),
                prefix: prefix.to_owned(),
                suffix: suffix(false),
                suffix_of_one: suffix(true),
                join: join(words, mention.amount.range),
                adjective: is_adjective(words),
                plain: mention.amount.about || !takes_about(before),
                stated: self.stated(&mention.amount, id),
                ..bare_mention(
                    number,
                    mention.amount.unit(),
                    mention.amount.bare,
                    kitchens.reader_of(mention.amount.unit()),
                    tool,
                )
            };
            let (before, after) = (article.map_or(0, |(_, len)| len), counted.map_or(0, |(len, ..)| len));
            Marked { number: data.mention(made), before, after, bracketed: matches!(role, Role::Beside(_)) }
        })
    }
}

/// What a measure is, for whoever cooks by it.
fn name_of(course: &Course, id: MeasureId) -> String {
    let name = plain_name(course, id);
    // Kind and figure stand beside it.
    let short = ["the time that ", "the temperature that "].iter().find_map(|start| name.strip_prefix(start));
    capital(short.unwrap_or(&name))
}

fn plain_name(course: &Course, id: MeasureId) -> String {
    let measure = course.measure(id);
    let key = measure.path.rsplit('.').next().unwrap_or_default().replace(['-', '_'], " ");
    match measure.owner {
        Owner::Named { .. } | Owner::Sum { .. } => key,
        Owner::Part { lesson, step, ingredient } => {
            let lesson = &course.lessons[lesson];
            let name = lesson.recipe.as_ref().map_or("", |recipe| recipe.ingredients[ingredient].name.as_str());
            format!("{name}, at “{}”", lesson.steps[step].title)
        }
        Owner::Step { lesson, step } if !["to", "at", "from", "for", "takes"].contains(&key.as_str()) => {
            format!("{key}, in “{}”", course.lessons[lesson].steps[step].title)
        }
        _ => measure_name(course, id),
    }
}

fn bare_mention(measure: usize, unit: UnitId, bare: bool, reader: Reader, tool: Tool) -> LiveMention {
    LiveMention {
        measure,
        role: Role::Alone,
        unit,
        bare,
        reader,
        tool,
        abroad: tool,
        article: None,
        prefix: String::new(),
        suffix: String::new(),
        suffix_of_one: String::new(),
        kept: String::new(),
        join: None,
        adjective: false,
        plain: false,
        stated: None,
    }
}

fn live_measure(name: String, amount: &Amount, (low, high): (Exact, Exact), scales: bool, thing: Thing) -> LiveMeasure {
    let counted = amount.dimension() == Dimension::Count;
    LiveMeasure {
        name,
        dimension: amount.dimension(),
        low,
        high,
        bound: if amount.dimension() == Dimension::Mass { Bound::None } else { amount.bound },
        scales: scales && amount.per.is_none(),
        // Half an egg more or less is no more than a cook allows for.
        care: if counted { crate::kitchen::Care::Ordinary } else { thing.care },
        oven: thing.oven,
        density: thing.density.filter(|_| thing.ingredient),
    }
}

/// Rates keep their figure, and so do gas marks and degrees that name no thermometer.
fn is_fixed(amount: &Amount, kitchens: &Kitchens<'_>) -> bool {
    let unit = amount.unit();
    let known = ["celsius", "fahrenheit", "celsius-difference", "fahrenheit-difference"];
    let reading = matches!(amount.dimension(), Dimension::Temperature | Dimension::Difference);
    let named = known.iter().any(|id| kitchens.units().find(id) == Some(unit));
    amount.per.is_some() || unit == kitchens.units().gas() || reading && !named
}

/// What is known of the thing that a measure is of.
fn thing_of(cx: &Cx<'_>, id: MeasureId, dimension: Dimension) -> Thing {
    let course = cx.course;
    let ingredient = match course.measure(id).owner {
        Owner::Ingredient { lesson, ingredient } | Owner::Part { lesson, ingredient, .. } => {
            course.lessons[lesson].recipe.as_ref().and_then(|recipe| recipe.ingredients.get(ingredient))
        }
        _ => None,
    };
    match ingredient.and_then(|one| one.pantry) {
        Some(row) => Thing::of_entry(cx.reference.pantry.get(row)),
        None if dimension == Dimension::Temperature => Thing::of_heat(super::recipe_view::is_oven(cx, id)),
        None => Thing::default(),
    }
}

fn is_pot(owner: Owner, dimension: Dimension) -> bool {
    matches!(owner, Owner::Equipment { .. }) && dimension == Dimension::Volume
}

/// With what readers elsewhere measure it: what the words speak of as spooned stays spooned.
fn abroad(crossed: bool, unit: &Unit, thing: Thing) -> Tool {
    if crossed { Tool::of_unit(unit) } else { tools(unit, thing)[0] }
}

/// `a` or `an` right before a figure: its first letter, and its length with the blank.
fn article(before: &str) -> Option<(char, usize)> {
    let found = ["a ", "an ", "A ", "An ", "a\n", "an\n"].into_iter().find(|word| before.ends_with(word))?;
    let free = before[..before.len() - found.len()].chars().next_back().is_none_or(|c| !c.is_alphanumeric());
    free.then(|| (found.chars().next().unwrap_or('a'), found.len()))
}

/// Whether "about" can stand before a figure: "add about 6 oz" and "which is about 6 oz", but not "the last about 6 oz".
fn takes_about(before: &str) -> bool {
    const WORDS: [&str; 32] = [
        "of", "is", "are", "to", "in", "with", "or", "and", "than", "for", "at", "add", "pour", "put", "take", "takes",
        "make", "makes", "give", "gives", "leave", "leaves", "use", "have", "need", "needs", "collect", "find", "get",
        "weigh", "measure", "holds",
    ];
    let before = before.trim_end();
    let last = before.rsplit(|c: char| !c.is_alphanumeric()).next().unwrap_or("");
    last.is_empty() || WORDS.contains(&last.to_lowercase().as_str())
}

/// What joins the ends of a range in these words: "and" after "between", which is no part of them.
fn join(words: &str, range: bool) -> Option<String> {
    let joins = [" to ", " or ", " and "].into_iter().find(|join| range && words.contains(join));
    joins.map(str::to_owned)
}

/// Whether words end in a bracket that opens, after a blank or the end of a line.
fn is_bracket(before: &str) -> bool {
    before.strip_suffix('(').is_some_and(|before| before.ends_with([' ', '\n']))
}

/// `6-litre`, `2½-inch`: a hyphen between the number and its unit.
fn is_adjective(words: &str) -> bool {
    let mut rest = words.char_indices().filter(|(_, c)| matches!(c, '-' | '‑'));
    rest.any(|(at, mark)| words[at + mark.len_utf8()..].starts_with(char::is_alphabetic))
}

/// The things that follow a count: bytes up to their end, and the words for one and for several.
fn counted(
    course: &Course,
    owner: Owner,
    amount: &Amount,
    scales: bool,
    after: &str,
) -> Option<(usize, String, String)> {
    if amount.dimension() != Dimension::Count || !scales {
        return None;
    }
    let recipe = course.lessons.get(owner.lesson()?)?.recipe.as_ref()?;
    let name = match owner {
        Owner::Product { .. } => &recipe.makes.as_ref()?.name,
        Owner::Leftover { leftover, .. } => &recipe.leaves.get(leftover)?.name,
        Owner::Ingredient { ingredient, .. } | Owner::Part { ingredient, .. } => {
            &recipe.ingredients.get(ingredient)?.name
        }
        _ => return None,
    };
    let noun = name.split_whitespace().next_back()?.to_lowercase();
    let forms: Vec<String> = crate::prose::other_number(&noun).into_iter().chain([noun]).collect();
    let mut at = 0;
    for word in after.split_inclusive([' ', '\n']).take(4) {
        let bare = word.trim_end_matches(|c: char| !c.is_alphanumeric());
        if forms.contains(&bare.to_lowercase()) {
            let (lead, said) = (&after[..at], bare);
            let other = |plural: bool| {
                let mut all = crate::prose::other_number(&said.to_lowercase()).into_iter().chain([said.to_owned()]);
                all.find(|form| form.ends_with('s') == plural).unwrap_or_else(|| said.to_owned())
            };
            return Some((at + bare.len(), format!("{lead}{}", other(false)), format!("{lead}{}", other(true))));
        }
        if word.trim_end().ends_with(|c: char| !c.is_alphanumeric() && c != '-') {
            return None; // the clause ends here
        }
        at += word.len();
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_article_is_a_word_of_its_own() {
        assert_eq!(article("in a "), Some(('a', 2)));
        assert_eq!(article("An "), Some(('A', 3)));
        assert_eq!(article("pizza "), None);
        assert_eq!(article("a"), None);
    }

    #[test]
    fn a_range_is_joined_as_its_author_did() {
        assert_eq!(join("32 and 34 °C", true).as_deref(), Some(" and "));
        assert_eq!(join("20 to 25 minutes", true).as_deref(), Some(" to "));
        assert_eq!(join("5 or 6", true).as_deref(), Some(" or "));
        assert_eq!(join("7–10 min", true), None);
        assert!(is_adjective("2.5-centimetre") && !is_adjective("7-10 min") && !is_adjective("7–10 min"));
        assert!(takes_about("which is ") && takes_about("") && takes_about("It is done. "));
        assert!(!takes_about("Now trickle in the last ") && !takes_about("for all "));
    }
}
