//! Where figures come from, as tuples: (what it covers, text, "seen" | "from memory" | "common practice").

use crate::error::Result;
use crate::python::gate::sequence::Many;
use crate::source::{Provenance, Source};

pub(super) type SourceTuple = (String, String, String);

pub(super) fn sources_in(sources: Many<SourceTuple>) -> Result<Vec<Source>> {
    let source = |(covers, text, provenance): SourceTuple| {
        let provenance = provenance.parse::<Provenance>()?;
        Ok(Source {
            covers,
            text,
            provenance,
        })
    };
    sources.into_iter().map(source).collect()
}

pub(super) fn sources_out(sources: &[Source]) -> Vec<SourceTuple> {
    let source = |s: &Source| (s.covers.clone(), s.text.clone(), s.provenance.to_string());
    sources.iter().map(source).collect()
}
