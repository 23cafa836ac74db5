//! Single strokes of the files of machines turned round, shortened and moved, in their text.

use super::program_text::TextFormat;

pub(crate) type Place = (f64, f64);

/// Returns a stroke travelled the other way; `None` where that takes more than turning its points round.
pub(crate) fn reversed(stroke: &str, format: TextFormat) -> Option<String> {
    let mut points = points(stroke, format)?;
    if points.len() < 2 || points.first() == points.last() && points.len() < 4 {
        return None;
    }
    points.reverse();
    written(stroke, format, &points)
}

/// Returns a stroke whose last piece is shorter by a length; `None` if there is no straight piece to shorten.
pub(crate) fn shortened(stroke: &str, format: TextFormat, by: f64) -> Option<String> {
    let mut points = points(stroke, format)?;
    let [.., before, last] = points[..] else { return None };
    let length = (last.0 - before.0).hypot(last.1 - before.1);
    if length <= 1.2 * by {
        // The last piece is the over-run.
        if points.len() < 4 || (length - by).abs() > 0.2 * by {
            return None;
        }
        points.pop();
    } else {
        let share = (length - by) / length;
        *points.last_mut()? = (before.0 + (last.0 - before.0) * share, before.1 + (last.1 - before.1) * share);
    }
    written(stroke, format, &points)
}

/// Returns a stroke that lies elsewhere by a length.
pub(crate) fn moved(stroke: &str, format: TextFormat, by: f64) -> Option<String> {
    let points: Vec<Place> = points(stroke, format)?.into_iter().map(|(x, y)| (x + 0.8 * by, y + 0.6 * by)).collect();
    written(stroke, format, &points)
}

/// Returns a stroke whose points are altered.
pub(crate) fn altered(stroke: &str, format: TextFormat, alter: impl Fn(&mut Vec<Place>)) -> Option<String> {
    let mut points = points(stroke, format)?;
    alter(&mut points);
    written(stroke, format, &points)
}

/// Returns the points of a stroke of straight pieces.
fn points(stroke: &str, format: TextFormat) -> Option<Vec<Place>> {
    let pair = |text: &str, parting: char| -> Option<Place> {
        let (x, y) = text.trim().split_once(parting)?;
        Some((x.trim().parse().ok()?, y.trim().parse().ok()?))
    };
    match format {
        TextFormat::GCode => {
            if stroke.contains("G2") || stroke.contains("G3") {
                return None;
            }
            let moves = stroke.lines().filter(|line| line.contains(" X"));
            moves
                .map(|line| {
                    let word = |letter| line.split(' ').find_map(|word| word.strip_prefix(letter)?.parse().ok());
                    Some((word('X')?, word('Y')?))
                })
                .collect()
        }
        TextFormat::HpGl => {
            if stroke.contains("AA") {
                return None;
            }
            let numbers: Option<Vec<f64>> = stroke
                .split(';')
                .map(str::trim)
                .filter(|line| line.starts_with("PU") || line.starts_with("PD"))
                .flat_map(|line| line[2..].split(',').filter(|number| !number.is_empty()))
                .map(|number| number.parse().ok())
                .collect();
            Some(numbers?.chunks(2).map(|pair| (pair[0], pair[1])).collect())
        }
        TextFormat::Dxf => {
            let pairs: Vec<(&str, &str)> = pairs(stroke);
            if pairs.iter().any(|(code, value)| {
                (*code == "42" && value.parse() != Ok(0.0)) || *value == "CIRCLE" || *value == "ELLIPSE"
            }) {
                return None;
            }
            let is_old = pairs.iter().any(|(_, value)| *value == "POLYLINE");
            let all = |wanted: &[&str]| -> Option<Vec<f64>> {
                pairs.iter().filter(|(code, _)| wanted.contains(code)).map(|(_, value)| value.parse().ok()).collect()
            };
            let (xs, ys) = (all(&["10", "11"])?, all(&["20", "21"])?);
            // The first point of an old polyline is a dummy.
            Some(xs.into_iter().zip(ys).skip(usize::from(is_old)).collect())
        }
        TextFormat::Svg => {
            let (_, data) = stroke.split_once("d=\"M")?;
            let (data, _) = data.split_once('"')?;
            if data.contains(['A', 'C']) {
                return None;
            }
            data.trim_end_matches('Z').split('L').map(|place| pair(place, ' ')).collect()
        }
        TextFormat::Polylines => stroke.lines().skip(1).map(|line| pair(line, ' ')).collect(),
    }
}

fn pairs(stroke: &str) -> Vec<(&str, &str)> {
    let lines: Vec<&str> = stroke.lines().map(str::trim).collect();
    lines.chunks(2).map(|pair| (pair[0], pair[1])).collect()
}

/// Writes a stroke with other points.
fn written(stroke: &str, format: TextFormat, points: &[Place]) -> Option<String> {
    let (first, rest) = points.split_first()?;
    let mut out = String::new();
    match format {
        TextFormat::GCode => {
            let mut rest = rest.iter();
            let mut feed =
                stroke.lines().filter(|line| line.starts_with("G1 X")).find_map(|line| line.split_once(" F"));
            for line in stroke.lines() {
                if line.starts_with("G0 X") {
                    out += &format!("G0 X{} Y{}\n", first.0, first.1);
                } else if line.starts_with("G1 X") {
                    if let Some(to) = rest.next() {
                        let feed = feed.take().map(|(_, feed)| format!(" F{feed}")).unwrap_or_default();
                        out += &format!("G1 X{} Y{}{feed}\n", to.0, to.1);
                    }
                } else {
                    out += &format!("{line}\n");
                }
            }
        }
        TextFormat::HpGl => {
            out += &format!("PU{:.0},{:.0};\n", first.0, first.1);
            let own = |line: &&str| !line.starts_with("PU") && !line.starts_with("PD");
            let lines: Vec<&str> = stroke.lines().filter(own).collect();
            if !lines.is_empty() {
                return None;
            }
            for (x, y) in rest {
                out += &format!("PD{x:.0},{y:.0};\n");
            }
        }
        TextFormat::Dxf => {
            let pairs = pairs(stroke);
            if pairs.iter().any(|(_, value)| *value == "LINE") {
                let mut places = points.iter();
                let (a, b) = (places.next()?, places.next()?);
                for (code, value) in pairs {
                    let number = match code {
                        "10" => a.0.to_string(),
                        "20" => a.1.to_string(),
                        "11" => b.0.to_string(),
                        "21" => b.1.to_string(),
                        _ => value.to_owned(),
                    };
                    out += &format!("{code}\n{number}\n");
                }
                return Some(out);
            }
            let layer = pairs.iter().find(|(code, _)| *code == "8")?.1;
            let closed = pairs.iter().find(|(code, _)| *code == "70")?.1;
            out += &format!("0\nLWPOLYLINE\n8\n{layer}\n90\n{}\n70\n{closed}\n", points.len());
            for (x, y) in points {
                out += &format!("10\n{x}\n20\n{y}\n");
            }
        }
        TextFormat::Svg => {
            let data: Vec<String> = points.iter().map(|(x, y)| format!("{x} {y}")).collect();
            let end = if stroke.contains('Z') { "Z" } else { "" };
            out += &format!("<path d=\"M{}{end}\"/>\n", data.join("L"));
        }
        TextFormat::Polylines => {
            let head = stroke.lines().next()?;
            let mut words: Vec<String> = head.split(' ').map(str::to_owned).collect();
            words[4] = points.len().to_string();
            out += &(words.join(" ") + "\n");
            for (x, y) in points {
                out += &format!("{x} {y}\n");
            }
        }
    }
    Some(out)
}
