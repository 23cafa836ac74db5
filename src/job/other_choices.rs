//! Words that framers write for one of several choices that are called otherwise here, with what to write.

/// Other words, a choice among those that they may stand for, and what to write.
const OTHER_CHOICES: &[(&[&str], &str, &str)] = &[
    (&["round", "circular"], "circle", "a round opening is `circle`, an oval one `ellipse`"),
    (
        &["rounded", "rounded rectangle", "rounded_rectangle", "round corners"],
        "rectangle",
        "rounded corners are shape.rectangle.corner_radius = \"1/4 in\"",
    ),
    (&["hexagon", "octagon", "pentagon", "hex"], "regular_polygon", "write shape.regular_polygon.sides = 8"),
    (&["stadium", "pill", "obround", "racetrack"], "straight_oval", "an oval with straight sides is `straight_oval`"),
    (&["none", "no", "off", "square", "upright"], "straight", "a cut without a slope is `straight`"),
];

/// Returns what to write for a word that stands for one of the choices.
pub(super) fn cure(word: &str, choices: &[&str]) -> Option<String> {
    let small = word.trim().to_lowercase();
    if choices.contains(&"straight")
        && let Some(figures) = small.strip_suffix(['°']).or(Some(&small)).filter(|text| text.parse::<f64>().is_ok())
    {
        return Some(format!("an angle is a number with a key of its own: bevel.angle_from_face = {figures}"));
    }
    let meant =
        |(words, choice, _): &&(&[&str], &str, &str)| words.contains(&small.as_str()) && choices.contains(choice);
    OTHER_CHOICES.iter().find(meant).map(|(.., cure)| (*cure).to_owned())
}
