//! Openings that are narrow somewhere are warned of, and corners in a wrong order are shown at the corner.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing, reason = "a test fails by panicking")]

use backline::job::{Syntax, WrittenJob, locate};
use backline::problem::Problem;

fn problems(job: &str) -> Vec<Problem> {
    WrittenJob::read(job, Syntax::Toml).unwrap().resolve().problems
}

fn polygon(corners: &str) -> String {
    format!("unit = 'mm'\nouter = [400, 300]\nopening.shape.polygon.corners = [{corners}]\n")
}

#[test]
fn slivers_are_warned_of() {
    for (name, corners, said) in [
        (
            "a neck",
            "[0, 0], [100, 0], [100, 49.9], [160, 49.9], [160, 0], [250, 0], [250, 100], [160, 100], [160, 50], [100, 50], [100, 100], [0, 100]",
            "opening 1 is only 0.1 mm wide at its back",
        ),
        // 4 mm of board at the back, less both bevels of a 4-ply board of 1/16 in each.
        (
            "a tongue",
            "[0, 0], [50, 0], [50, 60], [54, 60], [54, 0], [100, 0], [100, 100], [0, 100]",
            "opening 1 leaves a strip of board only 0.825 mm wide at its face",
        ),
    ] {
        let found = problems(&polygon(corners));
        let slivers: Vec<&Problem> = found.iter().filter(|problem| problem.code == "sliver").collect();
        assert_eq!(slivers.len(), 1, "{name}: {found:?}");
        assert!(!slivers[0].is_error() && slivers[0].message.starts_with(said), "{name}: {}", slivers[0].message);
        assert!(slivers[0].message.ends_with("the board is 1.5875 mm thick"), "{}", slivers[0].message);
    }
    let wide = "[0, 0], [50, 0], [50, 60], [55, 60], [55, 0], [100, 0], [100, 100], [0, 100]";
    assert_eq!(problems(&polygon(wide)), []);
    // What is as thin as a hair is a sliver in any shape.
    let thin = problems(
        "unit = 'mm'\nouter = [400, 300]\nopening = { shape = 'ellipse', size = [100, 1.2], bevel = 'straight' }",
    );
    assert_eq!(thin.iter().filter(|problem| problem.code == "sliver").count(), 1, "{thin:?}");
}

#[test]
fn corners_in_a_wrong_order_are_shown_at_the_corner() {
    for (corners, at, said) in [
        // A bow tie, whose area is nothing.
        (
            "[0, 0], [100, 100], [100, 0], [0, 100]",
            "[100, 0]",
            "from corner 3 to corner 4 crosses or touches the side from corner 1 to corner 2, at x 50 mm, y 50 mm",
        ),
        (
            "[0, 0], [100, 0], [100, 80], [40, -20], [0, 80]",
            "[100, 80]",
            "from corner 3 to corner 4 crosses or touches the side from corner 1 to corner 2",
        ),
        // The last side goes back to the first corner; of a corner that is given twice the first counts.
        (
            "[0, 0], [0, 0], [100, 100], [100, 0], [0, 90]",
            "[100, 0]",
            "from corner 4 to corner 5 crosses or touches the side from corner 1 to corner 3",
        ),
    ] {
        let job = polygon(corners);
        let found = problems(&job);
        assert_eq!(found.len(), 1, "{found:?}");
        let range = locate(&job, Syntax::Toml, &found[0].place).unwrap();
        assert_eq!((&job[range], found[0].code), (at, "polygon"));
        assert!(found[0].message.contains(said), "{}", found[0].message);
    }
}
