//! What the lesson's page says of each step to a reader of some choice: the page as it is published, and every figure on
//! it as our kitchens show it. This is what paper is held to.

use super::courses::{Course, demo};
use html5ever::tendril::TendrilSink;
use markup5ever_rcdom::{Handle, NodeData, RcDom};
use pottle::kitchen::{Choice, Kitchens, LiveData};
use pottle::render;
use std::collections::BTreeMap;

/// A step in words.
#[derive(Debug, Default)]
pub struct StepText {
    pub id: String,
    pub heading: Text,
    /// Its temperatures and times, each with its conversion.
    pub gauges: Vec<Text>,
    /// The other texts of its plate, without the one that leads to a recording.
    pub plate: Vec<Text>,
    /// Paragraphs, rows of lists and cells of tables.
    pub prose: Vec<Text>,
    pub rescues: Vec<Text>,
}

/// A paragraph, and where its figures stand in it, in bytes.
#[derive(Debug, Default, Clone)]
pub struct Text {
    pub words: String,
    pub mentions: Vec<(usize, usize)>,
    /// Whether it leads to a recording, which paper cannot play.
    pub recording: bool,
}

impl Text {
    /// Its words without the blanks between them.
    pub fn list(&self) -> Vec<String> {
        self.words.split_whitespace().map(str::to_owned).collect()
    }

    /// Each figure with the word before it and the one after it, without blanks.
    pub fn figures_in_place(&self) -> Vec<String> {
        let around = |(from, to): &(usize, usize)| {
            let before = self.words[..*from].split_whitespace().next_back().filter(|_| *from > 0).unwrap_or("");
            let after = self.words[*to..].split_whitespace().next().unwrap_or("");
            let said = format!("{before}{}{after}", &self.words[*from..*to]);
            said.split_whitespace().collect::<String>()
        };
        self.mentions.iter().filter(|(from, to)| from < to).map(around).collect()
    }
}

impl StepText {
    /// All its words, but for those of its plate.
    pub fn words(&self) -> Vec<String> {
        let texts = [&self.heading].into_iter().chain(&self.gauges).chain(&self.prose).chain(&self.rescues);
        texts.flat_map(Text::list).collect()
    }
}

/// The steps of a lesson as its page shows them at a choice.
pub fn steps(course: &Course, lesson: usize, choice: &Choice) -> Vec<StepText> {
    let Course { project, checked, .. } = course;
    let html = course.page(lesson);
    let data = render::live_figures(project, checked, lesson).expect("the lesson has figures");
    let kitchens = Kitchens::new(checked.reference(), checked.course().home).expect("the units are there");
    let mut reader = Reader {
        data: &data,
        kitchens: &kitchens,
        choice,
        open: Vec::new(),
        steps: Vec::new(),
        after: None,
        first: false,
    };
    reader.read(html);
    reader.steps
}

/// An element that is open.
struct Open {
    name: String,
    attributes: BTreeMap<String, String>,
    /// The number of the mention that it is.
    mention: Option<usize>,
    /// Whether no element stands before it where it stands.
    first: bool,
    /// How much of the text was there when it began.
    from: usize,
}

struct Reader<'a> {
    data: &'a LiveData,
    kitchens: &'a Kitchens<'a>,
    choice: &'a Choice,
    open: Vec<Open>,
    steps: Vec<StepText>,
    /// Whether the last mention took its further pieces with it.
    after: Option<bool>,
    /// Whether the element that begins next is the first where it stands.
    first: bool,
}

impl Reader<'_> {
    fn read(&mut self, html: &str) {
        let page = html5ever::parse_document(RcDom::default(), Default::default()).one(html);
        self.node(&page.document);
    }

    fn node(&mut self, node: &Handle) {
        let inner = |reader: &mut Self| node.children.borrow().iter().for_each(|child| reader.node(child));
        match &node.data {
            NodeData::Text { contents } => self.text(&contents.borrow()),
            NodeData::Element { name, attrs, .. } => {
                let pairs = attrs.borrow();
                let pairs = pairs.iter().map(|one| (one.name.local.to_string(), one.value.to_string()));
                self.open(name.local.to_string(), pairs.collect());
                self.first = true;
                inner(self);
                self.close(&name.local);
                self.first = false;
            }
            _ => inner(self),
        }
    }

    fn open(&mut self, name: String, attributes: BTreeMap<String, String>) {
        if name == "time"
            && let Some(step) = self.steps.last_mut()
        {
            step.plate.pop();
            step.plate.push(Text { recording: true, ..Text::default() });
        }
        if let Some(id) = attributes.get("data-step") {
            self.steps.push(StepText { id: id.clone(), ..StepText::default() });
        }
        let begins = matches!(name.as_str(), "p" | "li" | "td" | "th" | "dd" | "h2" | "h3" | "h4");
        let mention = attributes.get("data-m").and_then(|number| number.parse().ok());
        self.open.push(Open { name, attributes, mention, first: self.first, from: 0 });
        if begins {
            self.begin();
        }
        let from = self.target().map_or(0, |text| text.words.len());
        self.open.last_mut().expect("it was opened").from = from;
    }

    fn close(&mut self, name: &str) {
        if let Some(mention) = self.open.last().and_then(|open| open.mention) {
            self.show(mention);
        } else if self.open.last().is_some_and(|open| open.attributes.contains_key("data-m"))
            && self.after == Some(true)
        {
            // A further piece of a mention that says something else now.
            let from = self.open.last().map_or(0, |open| open.from);
            if let Some(text) = self.target() {
                text.words.truncate(from);
            }
        }
        let open = self.open.pop().expect("what closes was open");
        let alt = open
            .attributes
            .get("class")
            .is_some_and(|class| class.split(' ').any(|one| one == "alt" || one == "other"));
        if alt
            && let Some(text) = self.target()
            && text.words[open.from..].chars().all(|c| "() ".contains(c))
        {
            text.words.truncate(open.from);
        }
        // A list that would say the same twice says it once.
        if alt
            && !self.within("prose")
            && let Some(text) = self.target()
        {
            let (first, beside) = text.words.split_at(open.from);
            let beside = beside.trim_matches([' ', '(', ')']);
            if first.trim().ends_with(beside) {
                text.words.truncate(open.from);
                text.mentions.retain(|(_, to)| *to <= open.from);
            }
        }
        if matches!(name, "p" | "td" | "dd" | "li") && self.within("step") && !self.open.is_empty() {
            self.begin();
        }
    }

    /// Puts what our kitchens show in the place of what is written.
    fn show(&mut self, number: usize) {
        let mention = &self.data.mentions[number];
        let shown = self.kitchens.show(&self.data.measures[mention.measure], mention, self.choice);
        let from = self.open.last().map_or(0, |open| open.from);
        let replaced = shown.as_ref().is_some_and(|shown| !shown.after);
        let Some(text) = self.target() else { return };
        if let Some(shown) = shown {
            if !shown.after {
                text.words.truncate(from);
            }
            text.words.push_str(&shown.text);
        }
        text.mentions.push((from, text.words.len()));
        self.after = Some(replaced);
    }

    fn text(&mut self, text: &str) {
        if let Some(target) = self.target() {
            target.words.push_str(text);
        }
    }

    /// Whether these are the words before a step's heading.
    fn numbers_step(&self) -> bool {
        let mut open = self.open.iter().rev();
        let plain = |open: &Open| open.name == "span" && open.attributes.is_empty();
        open.next().is_some_and(plain) && open.next().is_some_and(|open| open.name.starts_with('h'))
    }

    /// Whether this is the word that stands over each rescue.
    fn names_rescue(&self) -> bool {
        let mut open = self.open.iter().rev();
        let first = open.next().is_some_and(|open| open.name == "p" && open.first);
        first && open.next().is_some_and(|open| open.name == "aside")
    }

    fn within(&self, class: &str) -> bool {
        let has = |open: &Open| open.attributes.get("class").is_some_and(|all| all.split(' ').any(|one| one == class));
        self.open.iter().any(has)
    }

    /// Another text begins where the elements that are open say.
    fn begin(&mut self) {
        let parts = ["gauges", "needs", "prose", "rescue"].map(|class| self.within(class));
        if let Some(step) = self.steps.last_mut() {
            match parts {
                [true, ..] => step.gauges.push(Text::default()),
                [_, true, ..] => step.plate.push(Text::default()),
                [_, _, true, _] => step.prose.push(Text::default()),
                [.., true] => step.rescues.push(Text::default()),
                _ => {}
            }
        }
    }

    /// The text that words go to now.
    fn target(&mut self) -> Option<&mut Text> {
        if !self.within("step") || self.numbers_step() || self.within("call") {
            return None;
        }
        let marks = ["gauges", "needs", "prose", "rescue"].map(|class| self.within(class));
        let label = self.names_rescue() || self.open.iter().any(|open| open.name == "dt");
        let heading = self.open.iter().any(|open| open.name == "h2" || open.name == "h3");
        let step = self.steps.last_mut()?;
        match marks {
            _ if label => None,
            [true, ..] => step.gauges.last_mut(),
            [_, true, ..] => step.plate.last_mut(),
            [_, _, true, _] => step.prose.last_mut(),
            [.., true] => step.rescues.last_mut(),
            _ if heading => Some(&mut step.heading),
            _ => None,
        }
    }
}

#[test]
fn a_page_is_read_as_it_shows() {
    let course = demo();
    let lesson = course.lesson("pressed-curd");
    let twice = Choice { scale: pottle::quantity::Exact::whole(2), ..Choice::AS_WRITTEN };
    for (choice, milk, sentence, figure) in [
        (Choice::AS_WRITTEN, "4 L", "which is 80 mL, in a thin stream", "is80mL,"),
        (twice, "8 L", "which is 160 mL, in a thin stream", "is160mL,"),
    ] {
        let steps = steps(course, lesson, &choice);
        assert_eq!(steps.len(), 8);
        let flat = |text: &Text| text.words.replace('\u{a0}', " ");
        assert_eq!(flat(&steps[0].heading).trim(), "Heat the milk");
        assert_eq!(flat(&steps[0].gauges[0]).trim(), "92 °C 198 °F");
        assert!(steps[0].plate.iter().any(|text| flat(text).starts_with(milk)), "{:?}", steps[0].plate);
        assert!(steps[1].prose.iter().any(|text| flat(text).contains(sentence)), "{:?}", steps[1].prose);
        assert!(steps[1].prose.iter().any(|text| text.figures_in_place().iter().any(|one| one == figure)));
        assert!(steps[1].rescues.iter().any(|text| flat(text).starts_with("Hard lumps form")));
    }
}
