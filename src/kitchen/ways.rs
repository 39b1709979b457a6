//! The ways through a lesson. Neighbouring steps that each name a way stand for each other: one fork, one choice.

use crate::recipe::Step;

/// Walks beyond which no more are told apart: nobody reads a lesson with so many forks.
const MOST: usize = 64;

/// Neighbouring steps of which a student takes one way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fork {
    /// Indices of its steps, in order.
    pub steps: Vec<usize>,
    /// The ways, in the order of their first steps.
    pub ways: Vec<String>,
}

/// One walk through a lesson.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Walk {
    /// The way taken at each fork; a name that returns is one choice.
    pub ways: Vec<String>,
    /// Indices of the steps taken, in order.
    pub steps: Vec<usize>,
}

/// The forks of a lesson's steps.
pub fn forks(steps: &[Step]) -> Vec<Fork> {
    let mut forks: Vec<Fork> = Vec::new();
    for (index, step) in steps.iter().enumerate() {
        let Some(way) = &step.way else { continue };
        let follows = |fork: &&mut Fork| fork.steps.last().is_some_and(|last| last + 1 == index);
        match forks.last_mut().filter(follows) {
            Some(fork) => {
                fork.steps.push(index);
                if !fork.ways.contains(way) {
                    fork.ways.push(way.clone());
                }
            }
            None => forks.push(Fork { steps: vec![index], ways: vec![way.clone()] }),
        }
    }
    forks
}

/// All walks through a lesson, the first way of each fork first. One walk where there is no fork.
pub fn walks(steps: &[Step]) -> Vec<Walk> {
    let mut chosen: Vec<Vec<String>> = vec![Vec::new()];
    for fork in forks(steps) {
        let branch = |taken: Vec<String>| {
            let again = fork.ways.iter().any(|way| taken.contains(way));
            let ways: &[String] = if again { &[] } else { &fork.ways };
            let mut branches: Vec<Vec<String>> =
                ways.iter().map(|way| taken.iter().chain([way]).cloned().collect()).collect();
            if branches.is_empty() {
                branches.push(taken);
            }
            branches
        };
        chosen = chosen.into_iter().flat_map(branch).take(MOST).collect();
    }
    let on = |ways: &[String], step: &Step| step.way.as_ref().is_none_or(|way| ways.contains(way));
    let walk = |ways: Vec<String>| {
        let taken = steps.iter().enumerate().filter(|(_, step)| on(&ways, step)).map(|(index, _)| index);
        Walk { steps: taken.collect(), ways }
    };
    chosen.into_iter().map(walk).collect()
}

/// The steps that whoever takes these ways leaves out: at each fork the first of the ways that it has is taken, and none
/// left out where it has none of them.
pub fn left_out(steps: &[Step], ways: &[String]) -> Vec<usize> {
    let mut out = Vec::new();
    for fork in forks(steps) {
        let Some(taken) = ways.iter().find(|way| fork.ways.contains(way)) else { continue };
        out.extend(fork.steps.into_iter().filter(|step| steps[*step].way.as_ref() != Some(taken)));
    }
    out
}

/// The way that alone takes an ingredient; none where another way or every way takes it too.
pub fn only_way(steps: &[Step], ingredient: usize) -> Option<&str> {
    let mut takers = steps.iter().filter(|step| step.add.iter().any(|part| part.ingredient == ingredient));
    let way = takers.next()?.way.as_deref()?;
    takers.all(|step| step.way.as_deref() == Some(way)).then_some(way)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Project, check};

    /// Steps that name these ways, or none.
    fn steps(ways: &[&str]) -> Vec<Step> {
        let step = |(index, way): (usize, &&str)| {
            let way = if way.is_empty() { String::new() } else { format!("way = \"{way}\"\n") };
            format!("## Step {index}\n\n```step\n{way}```\n\n")
        };
        let lesson = format!("# Ways\n\n{}", ways.iter().enumerate().map(step).collect::<String>());
        let project = Project::from_files([("course.toml", "title = \"Hall\""), ("01-a/lesson.md", lesson.as_str())]);
        check(&project).model.lessons[0].steps.clone()
    }

    /// The walks through them.
    fn taken(ways: &[&str]) -> Vec<(String, Vec<usize>)> {
        walks(&steps(ways)).into_iter().map(|walk| (walk.ways.join("+"), walk.steps)).collect()
    }

    #[test]
    fn a_lesson_without_a_fork_is_one_walk() {
        assert_eq!(taken(&["", ""]), [(String::new(), vec![0, 1])]);
    }

    #[test]
    fn each_fork_is_one_choice() {
        let expected = [
            ("pan+cloth".to_owned(), vec![0, 1, 3, 4]),
            ("pan+sieve".to_owned(), vec![0, 1, 3, 5]),
            ("oven+cloth".to_owned(), vec![0, 2, 3, 4]),
            ("oven+sieve".to_owned(), vec![0, 2, 3, 5]),
        ];
        assert_eq!(taken(&["", "pan", "oven", "", "cloth", "sieve"]), expected);
    }

    #[test]
    fn whoever_takes_a_way_leaves_the_others_out() {
        let ways = |names: &[&str]| names.iter().map(|name| (*name).to_owned()).collect::<Vec<_>>();
        let steps = steps(&["", "pan", "oven", "", "cloth", "sieve"]);
        assert_eq!(left_out(&steps, &ways(&["oven"])), [1]);
        assert_eq!(left_out(&steps, &ways(&["sieve", "pan"])), [2, 4]);
        assert_eq!(left_out(&steps, &ways(&["oven", "pan"])), [1]);
        assert_eq!(left_out(&steps, &ways(&["grill"])), [0; 0]);
    }

    #[test]
    fn a_name_that_returns_is_the_same_choice() {
        let expected = [("pan".to_owned(), vec![0, 2, 3]), ("oven".to_owned(), vec![1, 2, 4])];
        assert_eq!(taken(&["pan", "oven", "", "pan", "oven"]), expected);
    }
}
