//! What an XML text would become when its entities are written out, told before it is parsed.
//!
//! A reader of XML copies the text of an entity to each place that names it, and compares each attribute of an element
//! with all the others. A small file can so take all the memory or minutes of time; this pass is one walk over its bytes.

use std::collections::BTreeMap;

/// Most bytes that entities may add to a text where they are named.
const MOST_ADDED: usize = 8 << 20;
/// Most entities that a file declares; drawing programs declare a dozen, for names.
const MOST_ENTITIES: usize = 1000;
/// Most attributes of an element; the elements of SVG know fewer than a hundred.
const MOST_ATTRIBUTES: usize = 500;

/// Checks an XML text.
///
/// # Errors
///
/// Returns what is too much, as the end of a sentence that begins with the name of the file.
pub(crate) fn check(text: &str) -> Result<(), String> {
    let entities = EntitySizes::declared_in(text)?;
    let mut added: usize = 0;
    let mut rest = text;
    while let Some((_, after)) = rest.split_once('&') {
        if let Some((name, _)) = after.split_once(';') {
            added = added.saturating_add(entities.size(name));
        }
        if added > MOST_ADDED {
            let most = MOST_ADDED >> 20;
            return Err(format!("expands its entities to more than {most} MiB"));
        }
        rest = after;
    }
    most_attributes(text)
}

/// The sizes in bytes of the entities that a text declares, with those inside them written out.
struct EntitySizes<'t>(BTreeMap<&'t str, usize>);

impl<'t> EntitySizes<'t> {
    fn declared_in(text: &'t str) -> Result<Self, String> {
        let mut sizes = BTreeMap::new();
        let mut rest = text;
        while let Some((_, declaration)) = rest.split_once("<!ENTITY") {
            rest = declaration;
            let words = declaration.trim_start();
            let Some((name, after)) = words.split_once(char::is_whitespace) else { break };
            let after = after.trim_start();
            let Some(mark) = after.chars().next().filter(|mark| matches!(mark, '"' | '\'')) else { continue };
            let value = after.get(1..).and_then(|value| value.split_once(mark)).map_or("", |(value, _)| value);
            // An entity can only name those that stand before it, so that its size is known already.
            let inner: usize = references(value).map(|name| sizes.get(name).copied().unwrap_or_default()).sum();
            sizes.insert(name, value.len().saturating_add(inner));
            if sizes.len() > MOST_ENTITIES {
                return Err(format!("declares more than {MOST_ENTITIES} entities"));
            }
        }
        Ok(Self(sizes))
    }

    fn size(&self, name: &str) -> usize {
        self.0.get(name).copied().unwrap_or_default()
    }
}

/// Returns the names of the entities that a text refers to.
fn references(text: &str) -> impl Iterator<Item = &str> {
    text.split('&').skip(1).filter_map(|after| Some(after.split_once(';')?.0))
}

/// Counts the attributes of each element, without looking at what they say.
fn most_attributes(text: &str) -> Result<(), String> {
    let mut rest = text;
    while let Some((_, after)) = rest.split_once('<') {
        let end = [("!--", "-->"), ("![CDATA[", "]]>"), ("?", "?>"), ("!", ">")]
            .into_iter()
            .find_map(|(start, end)| after.starts_with(start).then_some(end));
        if let Some(end) = end {
            rest = after.split_once(end).map_or("", |(_, after)| after);
            continue;
        }
        rest = after;
        let mut attributes = 0;
        // Inside a tag: a value may hold the sign that ends the tag.
        while let Some(at) = rest.find(['"', '\'', '>']) {
            let (mark, after) = rest.split_at(at).1.split_at(1);
            if mark == ">" {
                rest = after;
                break;
            }
            attributes += 1;
            if attributes > MOST_ATTRIBUTES {
                return Err(format!("has an element with more than {MOST_ATTRIBUTES} attributes"));
            }
            rest = after.split_once(mark).map_or("", |(_, after)| after);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::check;

    #[test]
    fn an_entity_used_many_times_is_refused_and_a_name_is_not() {
        let bomb = |times: usize| {
            format!("<!DOCTYPE svg [<!ENTITY a \"{}\">]><svg>{}</svg>", "x".repeat(100_000), "&a;".repeat(times))
        };
        assert!(check(&bomb(40)).is_ok());
        assert!(check(&bomb(100_000)).unwrap_err().contains("8 MiB"));
        let nested = "<!DOCTYPE svg [<!ENTITY a \"xxxxxxxxxx\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;\">\
                      <!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;\">]>";
        assert!(check(&format!("{nested}<svg>{}</svg>", "&c;".repeat(9000))).is_err());
        let named = "<!DOCTYPE svg [<!ENTITY ns_svg 'http://www.w3.org/2000/svg'>]><svg xmlns='&ns_svg;'/>";
        assert_eq!(check(named), Ok(()));
    }

    #[test]
    fn attributes_are_counted_where_they_are() {
        let many: String = (0..600).map(|number| format!(" a{number}='>'")).collect();
        assert!(check(&format!("<svg{many}/>")).unwrap_err().contains("attributes"));
        assert_eq!(check(&format!("<svg><!-- {many} --><g a='1' b=\"2>\"/>it's{}</svg>", "'".repeat(900))), Ok(()));
    }
}
