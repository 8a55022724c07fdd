//! Words that stand for a choice: one rule for all of them.

use std::collections::HashSet;

use yokewright::Error;

/// Each is written, read in any case and with any of the usual separators, stored and read back.
macro_rules! holds {
    ($($kind:path),+ $(,)?) => {$({
        use $kind as Kind;
        let texts: HashSet<String> = Kind::ALL.iter().map(ToString::to_string).collect();
        assert_eq!(texts.len(), Kind::ALL.len(), "two choices of one text");
        for one in Kind::ALL {
            let text = one.to_string();
            let shouted = text.to_uppercase().replace(' ', "_");
            assert_eq!(text.parse::<Kind>(), Ok(one));
            assert_eq!(shouted.parse::<Kind>(), Ok(one), "{shouted}");
            let stored = serde_json::to_string(&one).unwrap();
            assert_eq!(stored, format!("\"{text}\""));
            assert_eq!(serde_json::from_str::<Kind>(&stored).unwrap(), one);
        }
        let refused = "no such word".parse::<Kind>().unwrap_err();
        let Error::NotAChoice { given, choices, .. } = &refused else { panic!("{refused}") };
        assert_eq!(given, "no such word");
        for text in &texts {
            assert!(choices.contains(text.as_str()), "{choices} lacks {text}");
        }
        let told = serde_json::from_str::<Kind>("\"no such word\"").unwrap_err().to_string();
        assert!(told.contains(&refused.to_string()), "{told}");
    })+};
}

#[test]
fn a_choice_is_written_read_and_stored_by_its_text() {
    use yokewright::{axis, feel, hall, linkage, magnet, rig, source, spring};
    holds!(
        axis::ErrorCause,
        axis::ErrorDistribution,
        axis::MagnetSide,
        axis::Moving,
        axis::Measure,
        axis::PairCarrier,
        axis::PlateHolder,
        axis::PlateMount,
        axis::ShaftSide,
        feel::ControlKind,
        feel::GuidanceMotion,
        feel::GuidanceQuantity,
        feel::GuidanceBound,
        feel::PrintedUnit,
        feel::FlyingQualityLevel,
        hall::Rounding,
        linkage::Assembly,
        linkage::Branch,
        linkage::Buckling,
        linkage::FootSide,
        linkage::FourBarClass,
        linkage::GimbalAxis,
        linkage::InnerSensor,
        linkage::PedalMember,
        linkage::RodEnds,
        magnet::material::MagnetFamily,
        rig::TargetSense,
        rig::VerdictState,
        source::Provenance,
        spring::StockArrangement,
        spring::CoilEnds,
        spring::CurvatureFactor,
        spring::DesignCode,
        spring::EndFixity,
        spring::FatigueCriterion,
        spring::HookShape,
        spring::LinearSpringState,
        spring::Presetting,
        spring::RankBy,
        spring::Service,
        spring::SpringAction,
        spring::StockKind,
        spring::StockQuantity,
        spring::TorsionLimit,
        spring::TorsionSpringState,
        spring::WireFamily,
        spring::WireSurface,
    );
}
