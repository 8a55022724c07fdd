//! The table of named grades.
//!
//! Sintered NdFeB: a producer's public grade table (limits of Br, least HcJ and HcB, limits of (BH)max, at 20 degC).
//! Ferrite: SJ 285-77 as several producers repeat it, and MMPA 0100-00. SmCo: a supplier's nominal values. AlNiCo: MMPA
//! 0100-00. All kinds: minimum values of IEC 60404-8-1. Each grade says which of its figures were read in the source,
//! which are from memory, and which are common practice.

use std::f64::consts::PI;
use std::sync::LazyLock;

#[cfg(doc)]
use crate::error::Error;
use crate::error::Result;
use crate::magnet::material::{Grade, GradeSpec, MagnetFamily, Provenance, RatedValue, Source};
use crate::names;

use Provenance::{CommonPractice, FromMemory, Seen};
use RatedValue::{Min, MinMax, MinTypical, Typical};

const KA: f64 = 1e3;
const KJ: f64 = 1e3;
const GAUSS: f64 = 1e-4;
/// One oersted in A/m.
const OE: f64 = 1e3 / (4.0 * PI);
/// One megagauss-oersted in J/m3.
const MGOE: f64 = 1e5 / (4.0 * PI);
const G_PER_CM3: f64 = 1e3;
const PERCENT: f64 = 1e-2;

static ALL: LazyLock<Vec<Grade>> = LazyLock::new(|| {
    let specs = ndfeb().chain(ferrite()).chain(smco()).chain(alnico());
    specs.map(GradeSpec::trusted).collect()
});

impl Grade {
    /// A grade by its name: `N42`, `N42SH`, `Y30BH`, `C8`, `Ceramic 8`, `SmCo 26HS`, `Alnico 5`, or a designation of
    /// IEC 60404-8-1 such as `REFe 310/130`. Case, spaces, hyphens and underscores make no difference.
    ///
    /// Sintered NdFeB combines an energy class (N35 to N56) with a temperature class (none, M, H, SH, UH, EH, AH):
    /// remanence and energy product come from the first, coercivity and maximum temperature from the second.
    /// Combinations that the trade does not make (N52AH) have no grade.
    ///
    /// # Errors
    /// [`Error::UnknownName`] with the names nearest to it.
    pub fn named(name: &str) -> Result<Self> {
        names::find("magnet grade", name, Self::all(), Self::name).cloned()
    }

    /// Every grade that has a name.
    #[must_use]
    pub fn all() -> &'static [Self] {
        &ALL
    }
}

fn source(covers: &str, text: &str, provenance: Provenance) -> Source {
    Source {
        covers: covers.to_owned(),
        text: text.to_owned(),
        provenance,
    }
}

const MAGNETIC: &str = "remanence, coercivities, energy product";
const IEC: &str = "IEC 60404-8-1 (2001 with A1:2004), minimum values";
const MMPA: &str = "MMPA 0100-00, Standard specifications for permanent magnet materials";

/// What no table states.
fn assumed() -> Source {
    source(
        "squareness, lowest temperature",
        "0.9 (0.7 for Sm2Co17), -40 degC",
        CommonPractice,
    )
}

const COLD: f64 = -40.0;

/// A temperature class of sintered NdFeB: suffix, least HcJ (kA/m), coefficient of HcJ (%/K), maximum temperature
/// (degC), the greatest energy class it is made in, provenance of HcJ and maximum temperature, and of the coefficient.
struct Class(&'static str, f64, f64, f64, u32, Provenance, Provenance);

const CLASSES: [Class; 6] = [
    Class("M", 1114.0, -0.68, 100.0, 54, Seen, Seen),
    Class("H", 1353.0, -0.58, 120.0, 52, Seen, Seen),
    Class("SH", 1592.0, -0.55, 150.0, 52, Seen, Seen),
    Class("UH", 1990.0, -0.51, 180.0, 45, Seen, FromMemory),
    Class("EH", 2388.0, -0.48, 200.0, 42, FromMemory, FromMemory),
    Class("AH", 2786.0, -0.45, 220.0, 38, FromMemory, FromMemory),
];

/// An energy class of sintered NdFeB: number, limits of Br (T), least HcJ and HcB (kA/m), limits of (BH)max (kJ/m3).
struct Energy(u32, [f64; 2], f64, f64, [f64; 2]);

const NDFEB: [Energy; 10] = [
    Energy(56, [1.46, 1.50], 876.0, 812.0, [406.0, 446.0]),
    Energy(54, [1.44, 1.48], 955.0, 892.0, [398.0, 438.0]),
    Energy(52, [1.42, 1.46], 955.0, 892.0, [390.0, 422.0]),
    Energy(50, [1.39, 1.44], 955.0, 892.0, [374.0, 406.0]),
    Energy(48, [1.37, 1.42], 955.0, 892.0, [358.0, 390.0]),
    Energy(45, [1.32, 1.37], 955.0, 892.0, [342.0, 366.0]),
    Energy(42, [1.28, 1.32], 955.0, 923.0, [318.0, 342.0]),
    Energy(40, [1.25, 1.28], 955.0, 923.0, [302.0, 326.0]),
    Energy(38, [1.22, 1.25], 955.0, 923.0, [287.0, 310.0]),
    Energy(35, [1.17, 1.22], 955.0, 923.0, [263.0, 287.0]),
];
const NDFEB_COEFFICIENT: f64 = -0.76;
const NDFEB_MAX: f64 = 80.0;

/// Designation, least (BH)max (kJ/m3), Br (T), HcB, HcJ (kA/m). The designation is least (BH)max / a tenth of least
/// HcJ.
const REFE: [(&str, [f64; 4]); 11] = [
    ("REFe 170/190", [170.0, 0.98, 700.0, 1900.0]),
    ("REFe 210/130", [210.0, 1.06, 790.0, 1300.0]),
    ("REFe 250/120", [250.0, 1.13, 840.0, 1200.0]),
    ("REFe 290/80", [290.0, 1.23, 700.0, 800.0]),
    ("REFe 240/180", [240.0, 1.16, 840.0, 1800.0]),
    ("REFe 280/120", [280.0, 1.24, 900.0, 1200.0]),
    ("REFe 320/88", [320.0, 1.31, 800.0, 880.0]),
    ("REFe 310/130", [310.0, 1.30, 900.0, 1300.0]),
    ("REFe 340/130", [340.0, 1.33, 920.0, 1300.0]),
    ("REFe 360/90", [360.0, 1.35, 800.0, 900.0]),
    ("REFe 250/240", [250.0, 1.20, 830.0, 2400.0]),
];

fn ndfeb() -> impl Iterator<Item = GradeSpec> {
    let plain = NDFEB.into_iter().map(|Energy(energy, br, hcj, hcb, bh)| {
        let mut spec = ndfeb_base(format!("N{energy}"), MinMax(br[0], br[1]));
        spec.intrinsic_coercivity = Min(hcj * KA);
        spec.normal_coercivity = Some(Min(hcb * KA));
        spec.energy_product = Some(MinMax(bh[0] * KJ, bh[1] * KJ));
        spec.sources.insert(
            0,
            source(
                "remanence, coercivities, energy product, density, recoil permeability, temperature coefficients, \
                    maximum temperature",
                "public grade table of a sintered NdFeB producer",
                Seen,
            ),
        );
        spec
    });
    let combined = CLASSES.into_iter().flat_map(|class| {
        let fits = NDFEB.into_iter().filter(move |row| row.0 <= class.4);
        fits.map(move |Energy(energy, br, _, _, bh)| {
            let mut spec = ndfeb_base(format!("N{energy}{}", class.0), MinMax(br[0], br[1]));
            spec.energy_product = Some(MinMax(bh[0] * KJ, bh[1] * KJ));
            in_class(&mut spec, &class);
            spec.sources.insert(
                0,
                source(
                    "remanence, energy product, density, recoil permeability, temperature coefficient of remanence",
                    "public grade table of a sintered NdFeB producer",
                    Seen,
                ),
            );
            spec
        })
    });
    let iec = REFE.into_iter().map(|(name, [bh, br, hcb, hcj])| {
        let mut spec = ndfeb_base(name.to_owned(), Min(br));
        spec.energy_product = Some(Min(bh * KJ));
        spec.intrinsic_coercivity = Min(hcj * KA);
        spec.normal_coercivity = Some(Min(hcb * KA));
        // The standard says nothing of temperature; the trade's classes do.
        if let Some(class) = CLASSES.iter().rfind(|class| class.1 <= hcj) {
            spec.coercivity_coefficient = Typical(class.2 * PERCENT);
            spec.max_celsius = class.3;
        }
        spec.sources.push(source(
            "temperature coefficient of HcJ, maximum temperature",
            "those of the highest trade class whose HcJ the least HcJ reaches",
            CommonPractice,
        ));
        spec.sources.push(source(
            "density, recoil permeability, temperature coefficient of remanence",
            "public grade table of a sintered NdFeB producer",
            Seen,
        ));
        spec.sources.insert(0, source(MAGNETIC, IEC, FromMemory));
        spec
    });
    plain.chain(combined).chain(iec)
}

fn in_class(spec: &mut GradeSpec, class: &Class) {
    spec.intrinsic_coercivity = Min(class.1 * KA);
    spec.coercivity_coefficient = Typical(class.2 * PERCENT);
    spec.max_celsius = class.3;
    let name = class.0;
    spec.sources.push(source(
        "HcJ and maximum temperature",
        &format!("class {name} in public grade tables of sintered NdFeB producers"),
        class.5,
    ));
    spec.sources.push(source(
        "temperature coefficient of HcJ",
        &format!("class {name} in a producer's and a supplier's public tables"),
        class.6,
    ));
}

/// What all sintered NdFeB has in common; the coercivity is filled in by the caller.
fn ndfeb_base(name: String, remanence: RatedValue) -> GradeSpec {
    GradeSpec {
        name,
        family: MagnetFamily::NdFeB,
        remanence,
        normal_coercivity: None,
        intrinsic_coercivity: Min(955.0 * KA),
        energy_product: None,
        remanence_coefficient: -0.12 * PERCENT,
        coercivity_coefficient: Typical(NDFEB_COEFFICIENT * PERCENT),
        recoil_permeability: 1.05,
        squareness: 0.9,
        density: Typical(7.50 * G_PER_CM3),
        min_celsius: COLD,
        max_celsius: NDFEB_MAX,
        curie_celsius: Some(MinMax(310.0, 380.0)),
        sources: vec![
            source(
                "Curie temperature",
                "physical-property table of a sintered NdFeB producer",
                Seen,
            ),
            assumed(),
        ],
    }
}

/// Isotropic ferrite has the upper end of the printed range of recoil permeability, aligned ferrite the lower: only so
/// does Br^2 / (4 mu0 mu_rec) agree with the printed energy products.
const ISOTROPIC: f64 = 1.2;
const ALIGNED: f64 = 1.05;

/// Name, Br (mT), HcB, HcJ (kA/m), (BH)max (kJ/m3), each least and typical.
const SJ: [(&str, [[f64; 2]; 4]); 7] = [
    (
        "C1",
        [[200.0, 218.0], [125.0, 145.0], [210.0, 250.0], [6.5, 8.0]],
    ),
    (
        "Y25",
        [[360.0, 370.0], [135.0, 150.0], [140.0, 170.0], [22.5, 25.3]],
    ),
    (
        "C5",
        [[380.0, 385.0], [191.0, 210.0], [199.0, 220.0], [26.0, 28.0]],
    ),
    (
        "Y30BH",
        [[380.0, 390.0], [223.0, 235.0], [231.0, 245.0], [27.0, 30.0]],
    ),
    (
        "Y33",
        [[410.0, 420.0], [220.0, 235.0], [225.0, 240.0], [31.5, 33.0]],
    ),
    (
        "Y35",
        [[400.0, 410.0], [175.0, 195.0], [180.0, 200.0], [30.0, 32.0]],
    ),
    (
        "C8",
        [[385.0, 390.0], [235.0, 255.0], [242.0, 265.0], [27.8, 30.0]],
    ),
];

/// Name, Br (G), HcB, HcJ (Oe), (BH)max (MGOe), nominal.
const CERAMIC: [(&str, [f64; 4]); 4] = [
    ("Ceramic 1", [2300.0, 1860.0, 3250.0, 1.05]),
    ("Ceramic 5", [3800.0, 2400.0, 2500.0, 3.4]),
    ("Ceramic 7", [3400.0, 3250.0, 4000.0, 2.75]),
    ("Ceramic 8", [3850.0, 2950.0, 3050.0, 3.5]),
];

/// Name, (BH)max (kJ/m3), Br (T), HcB, HcJ (kA/m), least.
const HF: [(&str, [f64; 4]); 8] = [
    ("HF 8/22", [6.5, 0.2, 125.0, 220.0]),
    ("HF 20/19", [20.0, 0.32, 170.0, 190.0]),
    ("HF 24/16", [24.0, 0.35, 155.0, 160.0]),
    ("HF 26/18", [26.0, 0.37, 175.0, 180.0]),
    ("HF 28/26", [28.0, 0.385, 250.0, 260.0]),
    ("HF 32/17", [32.0, 0.41, 160.0, 165.0]),
    ("HF 32/22", [32.0, 0.41, 215.0, 220.0]),
    ("HF 24/35", [24.0, 0.36, 260.0, 350.0]),
];

fn ferrite() -> impl Iterator<Item = GradeSpec> {
    let sj = SJ.into_iter().map(|(name, [br, hcb, hcj, bh])| {
        let both = |[min, typical]: [f64; 2], unit: f64| MinTypical(min * unit, typical * unit);
        let mut spec = ferrite_base(name, both(br, 1e-3), both(hcj, KA));
        spec.normal_coercivity = Some(both(hcb, KA));
        spec.energy_product = Some(both(bh, KJ));
        let text = "SJ 285-77 with US equivalents, repeated by several producers";
        spec.sources.insert(0, source(MAGNETIC, text, Seen));
        spec
    });
    let mmpa = CERAMIC.into_iter().map(|(name, [br, hcb, hcj, bh])| {
        let mut spec = ferrite_base(name, Typical(br * GAUSS), Typical(hcj * OE));
        spec.normal_coercivity = Some(Typical(hcb * OE));
        spec.energy_product = Some(Typical(bh * MGOE));
        spec.sources.insert(0, source(MAGNETIC, MMPA, FromMemory));
        spec
    });
    let iec = HF.into_iter().map(|(name, [bh, br, hcb, hcj])| {
        let mut spec = ferrite_base(name, Min(br), Min(hcj * KA));
        spec.normal_coercivity = Some(Min(hcb * KA));
        spec.energy_product = Some(Min(bh * KJ));
        spec.sources.insert(0, source(MAGNETIC, IEC, FromMemory));
        spec
    });
    sj.chain(mmpa).chain(iec)
}

fn ferrite_base(name: &str, remanence: RatedValue, intrinsic_coercivity: RatedValue) -> GradeSpec {
    let isotropic = matches!(name, "C1" | "Ceramic 1" | "HF 8/22");
    GradeSpec {
        name: name.to_owned(),
        family: MagnetFamily::Ferrite,
        remanence,
        normal_coercivity: None,
        intrinsic_coercivity,
        energy_product: None,
        remanence_coefficient: -0.20 * PERCENT,
        coercivity_coefficient: MinMax(0.11 * PERCENT, 0.40 * PERCENT),
        recoil_permeability: if isotropic { ISOTROPIC } else { ALIGNED },
        squareness: 0.9,
        density: MinMax(4.6 * G_PER_CM3, 4.9 * G_PER_CM3),
        min_celsius: COLD,
        max_celsius: 250.0,
        curie_celsius: Some(Typical(450.0)),
        sources: vec![
            source(
                "temperature coefficients, recoil permeability, density, Curie temperature",
                "IEC 60404-8-1 annex A; MMPA 0100-00",
                FromMemory,
            ),
            source(
                "maximum temperature",
                "data pages of several ferrite producers, -40 to 250 degC",
                Seen,
            ),
            assumed(),
        ],
    }
}

/// Name, Br (G), HcB, HcJ (Oe), (BH)max (MGOe), nominal; maximum temperature (degC), coefficient of Br (%/K).
const SMCO: [(&str, [f64; 6]); 6] = [
    ("SmCo 18", [8600.0, 7200.0, 9000.0, 18.0, 250.0, -0.04]),
    ("SmCo 22", [9850.0, 8750.0, 12000.0, 22.0, 250.0, -0.03]),
    ("SmCo 26", [10500.0, 9200.0, 10000.0, 26.0, 350.0, -0.03]),
    ("SmCo 26HS", [10600.0, 9800.0, 18000.0, 27.0, 380.0, -0.03]),
    ("SmCo 28", [10700.0, 10300.0, 18000.0, 28.0, 350.0, -0.03]),
    ("SmCo 32H", [11600.0, 9500.0, 14000.0, 31.0, 350.0, -0.03]),
];

/// Name, (BH)max (kJ/m3), Br (T), HcB, HcJ (kA/m), least.
const RECO: [(&str, [f64; 4]); 5] = [
    ("RECo5 120/96", [120.0, 0.77, 590.0, 960.0]),
    ("RECo5 140/120", [140.0, 0.86, 600.0, 1200.0]),
    ("RECo17 180/100", [180.0, 1.0, 680.0, 1000.0]),
    ("RECo17 200/150", [200.0, 1.0, 700.0, 1500.0]),
    ("RECo17 220/70", [220.0, 1.1, 600.0, 700.0]),
];

fn smco() -> impl Iterator<Item = GradeSpec> {
    let supplier = SMCO.into_iter().map(|(name, [br, hcb, hcj, bh, max, alpha])| {
        // The table does not say which alloy; its physical page rates 1:5 to 250 degC and 2:17 above.
        let family = if max > 250.0 { MagnetFamily::Sm2Co17 } else { MagnetFamily::SmCo5 };
        let mut spec = smco_base(name, family, Typical(br * GAUSS), Typical(hcj * OE));
        spec.normal_coercivity = Some(Typical(hcb * OE));
        spec.energy_product = Some(Typical(bh * MGOE));
        spec.remanence_coefficient = alpha * PERCENT;
        spec.max_celsius = max;
        let covers = "remanence, coercivities, energy product, temperature coefficient of remanence, maximum \
            temperature";
        let text = "supplier's table of SmCo properties";
        spec.sources.insert(0, source(covers, text, Seen));
        let text = "told from the maximum temperature";
        spec.sources.push(source("alloy", text, CommonPractice));
        spec
    });
    let iec = RECO.into_iter().map(|(name, [bh, br, hcb, hcj])| {
        let alloy_1_5 = name.starts_with("RECo5");
        let family = if alloy_1_5 {
            MagnetFamily::SmCo5
        } else {
            MagnetFamily::Sm2Co17
        };
        let mut spec = smco_base(name, family, Min(br), Min(hcj * KA));
        spec.normal_coercivity = Some(Min(hcb * KA));
        spec.energy_product = Some(Min(bh * KJ));
        spec.sources.insert(0, source(MAGNETIC, IEC, FromMemory));
        spec
    });
    supplier.chain(iec)
}

fn smco_base(
    name: &str,
    family: MagnetFamily,
    remanence: RatedValue,
    intrinsic_coercivity: RatedValue,
) -> GradeSpec {
    let alloy_1_5 = family == MagnetFamily::SmCo5;
    GradeSpec {
        name: name.to_owned(),
        family,
        remanence,
        normal_coercivity: None,
        intrinsic_coercivity,
        energy_product: None,
        remanence_coefficient: if alloy_1_5 { -0.043 } else { -0.03 } * PERCENT,
        coercivity_coefficient: MinMax(-0.25 * PERCENT, -0.17 * PERCENT),
        recoil_permeability: 1.05,
        squareness: if alloy_1_5 { 0.9 } else { 0.7 },
        density: Typical(if alloy_1_5 { 8.2 } else { 8.4 } * G_PER_CM3),
        min_celsius: COLD,
        max_celsius: if alloy_1_5 { 250.0 } else { 300.0 },
        curie_celsius: Some(Typical(if alloy_1_5 { 750.0 } else { 825.0 })),
        sources: vec![
            source(
                "density, recoil permeability, Curie temperature, else temperature coefficient of remanence and \
                    maximum temperature",
                "supplier's table of SmCo properties, by alloy",
                Seen,
            ),
            source(
                "temperature coefficient of HcJ",
                "glossary of a rare earth magnet producer",
                Seen,
            ),
            assumed(),
        ],
    }
}

/// Name, Br (G), HcB, HcJ (Oe), (BH)max (MGOe), nominal; recoil permeability.
const ALNICO: [(&str, [f64; 5]); 5] = [
    ("Alnico 2", [7500.0, 560.0, 580.0, 1.7, 6.4]),
    ("Alnico 5", [12800.0, 640.0, 640.0, 5.5, 4.0]),
    ("Alnico 5-7", [13500.0, 740.0, 740.0, 7.5, 4.0]),
    ("Alnico 8", [8200.0, 1650.0, 1860.0, 5.3, 2.0]),
    ("Alnico 9", [10600.0, 1500.0, 1500.0, 9.0, 2.0]),
];

/// Name, (BH)max (kJ/m3), Br (T), HcB, HcJ (kA/m), least; recoil permeability.
const ALNICO_IEC: [(&str, [f64; 5]); 4] = [
    ("AlNiCo 37/5", [37.0, 1.24, 48.0, 49.0, 4.0]),
    ("AlNiCo 44/5", [44.0, 1.20, 52.0, 53.0, 4.0]),
    ("AlNiCo 60/11", [60.0, 0.90, 110.0, 112.0, 2.0]),
    ("AlNiCo 38/11", [38.0, 0.80, 110.0, 112.0, 2.0]),
];

fn alnico() -> impl Iterator<Item = GradeSpec> {
    let mmpa = ALNICO
        .into_iter()
        .map(|(name, [br, hcb, hcj, bh, recoil])| {
            let mut spec = alnico_base(name, Typical(br * GAUSS), Typical(hcj * OE), recoil);
            spec.normal_coercivity = Some(Typical(hcb * OE));
            spec.energy_product = Some(Typical(bh * MGOE));
            spec.sources.insert(0, source(MAGNETIC, MMPA, FromMemory));
            spec
        });
    let iec = ALNICO_IEC
        .into_iter()
        .map(|(name, [bh, br, hcb, hcj, recoil])| {
            let mut spec = alnico_base(name, Min(br), Min(hcj * KA), recoil);
            spec.normal_coercivity = Some(Min(hcb * KA));
            spec.energy_product = Some(Min(bh * KJ));
            spec.sources.insert(0, source(MAGNETIC, IEC, FromMemory));
            spec
        });
    mmpa.chain(iec)
}

fn alnico_base(
    name: &str,
    remanence: RatedValue,
    intrinsic_coercivity: RatedValue,
    recoil_permeability: f64,
) -> GradeSpec {
    GradeSpec {
        name: name.to_owned(),
        family: MagnetFamily::AlNiCo,
        remanence,
        normal_coercivity: None,
        intrinsic_coercivity,
        energy_product: None,
        remanence_coefficient: -0.02 * PERCENT,
        coercivity_coefficient: MinMax(-0.07 * PERCENT, 0.03 * PERCENT),
        recoil_permeability,
        squareness: 0.9,
        density: MinMax(6.8 * G_PER_CM3, 7.3 * G_PER_CM3),
        min_celsius: COLD,
        max_celsius: 450.0,
        curie_celsius: Some(Typical(850.0)),
        sources: vec![
            source(
                "temperature coefficients, recoil permeability, density, Curie temperature",
                "IEC 60404-8-1 annex A; MMPA 0100-00",
                FromMemory,
            ),
            source(
                "maximum temperature",
                "a supplier's table of AlNiCo grades",
                Seen,
            ),
            assumed(),
        ],
    }
}
