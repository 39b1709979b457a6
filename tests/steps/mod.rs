//! Lessons made of blocks alone, for tests of what the model says.

/// One lesson, its recipe and its steps: each a block without its fence.
pub fn lesson(recipe: &str, steps: &[&str]) -> String {
    let steps = steps.iter().enumerate();
    let steps: String =
        steps.map(|(at, keys)| format!("## Step {at}\n\n```step\nid = \"s{at}\"\n{keys}\n```\n\n")).collect();
    format!("# Make\n\n```recipe\n{recipe}\n```\n\n{steps}")
}
