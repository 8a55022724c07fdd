//! Stock lists: the drawer of the example, and every way a list can be wrong, told by line and column.

use std::fmt::Write;

use yokewright::Error;
use yokewright::spring::{
    FatigueCriterion, LifeDemand, LinearSpringState, StockArrangement, StockColumn, StockDemand,
    StockFormat, StockKind, StockList, StockQuantity as Q, Wire, WireSurface, requirement,
    search_stock,
};
use yokewright::units::MM;

const DRAWER: &str = include_str!("../../examples/drawer_springs.csv");

fn column(quantity: Q, heading: &str, unit: &str) -> StockColumn {
    StockColumn {
        quantity,
        heading: heading.to_owned(),
        unit: unit.to_owned(),
    }
}

fn drawer_format() -> StockFormat {
    StockFormat {
        kind: StockKind::Extension,
        columns: vec![
            column(Q::Name, "no", ""),
            column(Q::OuterDiameter, "outer mm", "mm"),
            column(Q::WireDiameter, "wire mm", "mm"),
            column(Q::FreeLength, "free mm", "mm"),
            column(Q::LimitLength, "longest mm", "mm"),
            column(Q::Rate, "rate N/mm", "N/mm"),
            column(Q::InitialTension, "initial N", "N"),
        ],
        delimiter: ';',
        decimal_comma: true,
        wire: Some(Wire::named("EN 10270-1 SM").unwrap()),
    }
}

fn plain_format() -> StockFormat {
    StockFormat {
        columns: vec![
            column(Q::Name, "id", ""),
            column(Q::OuterDiameter, "od", "in"),
            column(Q::FreeLength, "l0", "in"),
            column(Q::LimitForce, "fmax", "lbf"),
            column(Q::Rate, "k", "lbf/in"),
        ],
        kind: StockKind::Compression,
        delimiter: ',',
        decimal_comma: false,
        wire: None,
    }
}

fn demand() -> StockDemand {
    StockDemand {
        rate: 500.0,
        rate_tolerance: 0.1,
        force: 12.0,
        force_tolerance: 0.1,
        travel: 20.0 * MM,
        room: [30.0 * MM, 200.0 * MM],
        bore: None,
        life: None,
        arrangements: StockArrangement::ALL.to_vec(),
    }
}

fn refusal(text: &str, format: &StockFormat) -> String {
    StockList::read(text, format).unwrap_err().to_string()
}

#[test]
fn the_drawer_is_read() {
    let list = StockList::read(DRAWER, &drawer_format()).unwrap();
    assert_eq!(list.springs().len(), 18);
    let spring = &list.springs()[5];
    assert_eq!(
        (spring.name(), spring.kind()),
        ("D06", StockKind::Extension)
    );
    assert!((spring.rate() - 350.0).abs() < 1e-9);
    assert!((spring.free_length() - 40.0 * MM).abs() < 1e-15);
    assert!((spring.max_deflection() - 56.0 * MM).abs() < 1e-15);
    assert!((spring.initial_tension() - 1.8).abs() < 1e-15);
    let law = spring.line_spring();
    assert_eq!(
        law.response(97.0 * MM).unwrap().state,
        LinearSpringState::Overstretched
    );
    assert!((law.response(50.0 * MM).unwrap().tension - 5.3).abs() < 1e-9);
}

#[test]
fn inches_and_pounds_are_units() {
    let list = StockList::read("id,od,l0,fmax,k\nx,0.5,2,10,20\n", &plain_format()).unwrap();
    let spring = &list.springs()[0];
    assert!((spring.free_length() - 50.8 * MM).abs() < 1e-15);
    // 20 lbf/in: 3.5025 N/mm; 10 lbf press it by half an inch.
    assert!((spring.rate() - 3502.54).abs() < 0.01);
    assert!((spring.max_deflection() - 12.7 * MM).abs() < 1e-12);
    let law = spring.line_spring();
    assert_eq!(
        law.response(38.0 * MM).unwrap().state,
        LinearSpringState::Solid
    );
    assert_eq!(list.clone().with(list).unwrap().springs().len(), 2);
}

#[test]
fn what_is_wrong_is_told_by_line_and_column() {
    let format = plain_format();
    let heading = "id,od,l0,fmax,k\n";
    let cases = [
        (
            "a,0.5,2,10,20\nb,0.5,two,10,20\n",
            "line 3, column 'l0': free_length: 'two' is not a number",
        ),
        ("a,0.5,2,10\n", "line 2, column 'k': rate is missing"),
        (
            "a,0.5,,10,20\n",
            "line 2, column 'l0': free_length is missing",
        ),
        (",0.5,2,10,20\n", "line 2, column 'id': name is missing"),
        (
            "a,0.5,2,inf,20\n",
            "line 2, column 'fmax': limit_force: 'inf' is not a number",
        ),
        (
            "a,0.5,2,10,0\n",
            "line 2, column 'k': rate = 0 N/m is outside 0.001 to 10000000 N/m",
        ),
        (
            "a,50,2,10,20\n",
            "line 2, column 'od': outer diameter = 1.27 m is outside 0.0001 to 1 m",
        ),
        (
            "a,0.5,2,-10,20\n",
            "line 2, column 'fmax': deflection at the limit = -0.0127 m is outside",
        ),
        (
            "a,0.5,0.4,10,20\n",
            "line 2, column 'l0': shortest length of the spring",
        ),
        ("", "springs of the stock list: 0 given, 1 to 10000 needed"),
    ];
    for (text, expected) in cases {
        let got = refusal(&format!("{heading}{text}"), &format);
        assert!(got.starts_with(expected), "{text:?} gives {got}");
    }
    let comma = refusal(
        DRAWER,
        &StockFormat {
            decimal_comma: false,
            ..drawer_format()
        },
    );
    assert_eq!(
        comma,
        "line 2, column 'rate N/mm': rate: '0,22' is not a number; set decimal_comma if the list has decimal commas"
    );
}

#[test]
fn what_is_wrong_with_the_columns_is_told() {
    let with = |change: fn(&mut StockFormat)| {
        let mut format = drawer_format();
        change(&mut format);
        refusal(DRAWER, &format)
    };
    assert_eq!(
        with(|f| f.columns[1].heading = "diameter".to_owned()),
        "column of the stock list 'diameter' is not known; nearest to it: no, outer mm, wire mm, free mm, longest mm, \
            rate N/mm, initial N"
    );
    assert_eq!(
        with(|f| f.columns[5].unit = "N".to_owned()),
        "unit of a column: 'N' is not known; choose one of: N/mm, N/m, kgf/mm, lbf/in"
    );
    assert_eq!(
        with(|f| drop(f.columns.remove(5))),
        "columns with the rate: 0 given, 1 needed"
    );
    assert_eq!(
        with(|f| f.columns.push(column(Q::LimitForce, "initial N", "N"))),
        "columns with the limit, by length or by force: 2 given, 1 needed"
    );
    assert!(with(|f| f.delimiter = 'ß').starts_with("delimiter of the stock list"));
}

/// Line ends, byte order mark, empty lines, quotes and the empty cells of a spreadsheet change nothing but the line
/// numbers.
#[test]
fn a_list_is_read_however_it_is_written() {
    let format = plain_format();
    let plain = "id,od,l0,fmax,k\na,0.5,2,10,20\nb,0.4,2,10,20\n";
    let list = StockList::read(plain, &format).unwrap();
    for other in [
        plain.replace('\n', "\r\n"),
        format!("\u{feff}{plain}"),
        plain.replace("\nb", "\n\n , ,\n,,,,,,\nb"),
        plain
            .replace("a,0.5", "\"a\",\" 0.5 \"")
            .trim_end()
            .to_owned(),
        plain.replace(",20\n", ", 20 ,,\n"),
    ] {
        assert_eq!(StockList::read(&other, &format).unwrap(), list, "{other:?}");
    }
    // A slip is told by its own line, and of two the first.
    let slips = "id,od,l0,fmax,k\r\n\r\na,0.5,2,10,20\r\n\r\nb,0.5,two,10,20\r\nc,0.5,2,ten,20\r\n";
    assert_eq!(
        refusal(slips, &format),
        "line 5, column 'l0': free_length: 'two' is not a number"
    );
}

#[test]
fn a_row_with_too_many_cells_is_not_read_shifted() {
    // Decimal commas that nobody quoted: 0,8 became two cells.
    let format = StockFormat {
        decimal_comma: true,
        ..plain_format()
    };
    let text = "id,od,l0,fmax,k\nD1,1,2,10,20\nD2,1,2,20,5,50,0,8,0\n";
    assert_eq!(
        refusal(text, &format),
        "line 3, column '(the whole line)': 9 cells separated by ',' under 5 headings; are there decimal commas? then \
            quote the numbers, or separate \
         the cells otherwise"
    );
    let quoted = "id,od,l0,fmax,k\nD2,\"0,5\",2,\"5,5\",5\n";
    let list = StockList::read(quoted, &format).unwrap();
    assert!((list.springs()[0].outer_diameter() - 12.7 * MM).abs() < 1e-15);
    let semicolons = StockFormat {
        delimiter: ';',
        ..plain_format()
    };
    assert_eq!(
        refusal("id;od;l0;fmax;k\na;b;0.5;2;10;20\n", &semicolons),
        "line 2, column '(the whole line)': 6 cells separated by ';' under 5 headings; is there one inside a cell? \
            then quote that cell"
    );
}

/// 1.220 may be 1220 or 1.22: whoever writes decimal commas is asked.
#[test]
fn a_point_beside_decimal_commas_is_refused() {
    let format = StockFormat {
        decimal_comma: true,
        delimiter: ';',
        ..plain_format()
    };
    for number in ["1.220", "1.220,5"] {
        assert_eq!(
            refusal(&format!("id;od;l0;fmax;k\na;0,5;2;10;{number}\n"), &format),
            format!(
                "line 2, column 'k': rate: '{number}' is not a number in a list with decimal commas: a point there may \
                    mean thousands; write it without"
            )
        );
    }
    let list = StockList::read("id;od;l0;fmax;k\na;0,5;2;10;1220,5\n", &format).unwrap();
    assert!((list.springs()[0].rate() / (1220.5 * 175.126_835) - 1.0).abs() < 1e-8);
}

#[test]
fn one_heading_is_one_column_and_one_name_one_spring() {
    let format = plain_format();
    assert_eq!(
        refusal("id,od,l0,fmax,od,k\na,0.5,2,10,0.4,20\n", &format),
        "line 1, column 'od': columns 2 and 5 both have this heading for the outer_diameter; give each column a \
            heading of its own"
    );
    // Headings that nobody asks for may stand twice.
    assert!(StockList::read("id,od,l0,fmax,k,,\na,0.5,2,10,20,x,y\n", &format).is_ok());
    let mut twice = plain_format();
    twice.columns[2].heading = "od".to_owned();
    assert_eq!(
        refusal("id,od,l0,fmax,k\na,0.5,2,10,20\n", &twice),
        "line 1, column 'od': named for both outer_diameter and free_length; a column holds one quantity"
    );
    let rows = "id,od,l0,fmax,k\na,0.5,2,10,20\nb,0.5,2,10,30\na,0.5,2,10,20\n";
    assert_eq!(StockList::read(rows, &format).unwrap().springs().len(), 3);
    assert_eq!(
        refusal(&format!("{rows}\nb,0.5,2,10,31\n"), &format),
        "line 6, column 'id': the name 'b' stands on line 3 already, with other figures; give each kind of spring a \
            name of its own"
    );
}

/// Two lists keep to what one list keeps to: a spring may stand twice, a name is of one spring.
#[test]
fn two_lists_do_not_share_a_name_for_different_springs() {
    let own =
        |rows: &str| StockList::read(&format!("id,od,l0,fmax,k\n{rows}"), &plain_format()).unwrap();
    let list = own("a,0.5,2,10,20\nb,0.5,2,10,30\n");
    let both = list.clone().with(own("c,0.5,2,10,31\nb,0.5,2,10,30\n"));
    let names: Vec<String> = both
        .unwrap()
        .springs()
        .iter()
        .map(|s| s.name().to_owned())
        .collect();
    assert_eq!(names, ["a", "b", "c", "b"]);
    for other in ["b,0.5,2,10,31\n", "c,0.5,2,10,31\nb,0.5,2.1,10,30\n"] {
        let error = list.clone().with(own(other)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "springs of both stock lists: the name 'b' stands for two that differ; give each a name of its own"
        );
    }
    // One with the same figures that pulls is another.
    let of_kind = |kind| {
        let columns = vec![
            column(Q::Name, "n", ""),
            column(Q::OuterDiameter, "d", "mm"),
            column(Q::FreeLength, "l", "mm"),
            column(Q::LimitForce, "f", "N"),
            column(Q::Rate, "k", "N/mm"),
        ];
        let format = StockFormat {
            kind,
            columns,
            ..plain_format()
        };
        StockList::read("n,d,l,f,k\nb,9,60,10,2\n", &format).unwrap()
    };
    assert!(
        of_kind(StockKind::Extension)
            .with(of_kind(StockKind::Compression))
            .is_err()
    );
    let mut rows = String::new();
    for i in 0..10_000 {
        writeln!(rows, "s{i},0.5,2,10,20").unwrap();
    }
    let long = own(&rows);
    assert_eq!(
        StockList::default()
            .with(long.clone())
            .unwrap()
            .springs()
            .len(),
        10_000
    );
    assert_eq!(
        long.with(own("a,0.5,2,10,20\n")).unwrap_err().to_string(),
        "springs of both stock lists: 10001 given, 0 to 10000 needed"
    );
}

/// What stands in a file is quoted on one line, without what a terminal obeys, and cut where it is long.
#[test]
fn cells_are_quoted_so_that_a_terminal_bears_them() {
    let format = plain_format();
    let long = "9x".repeat(500);
    let cut = format!("{}...", "9x".repeat(30));
    for (cell, quoted) in [
        ("\u{1b}[31m5", "\\u{1b}[31m5"),
        ("\"5\n5\"", "5\\n5"),
        (long.as_str(), cut.as_str()),
    ] {
        assert_eq!(
            refusal(&format!("id,od,l0,fmax,k\na,0.5,{cell},10,20\n"), &format),
            format!("line 2, column 'l0': free_length: '{quoted}' is not a number")
        );
        assert_eq!(
            refusal(
                &format!("id,od,l0,fmax,k\n{cell},0.5,2,10,20\n{cell},0.5,2,10,21\n"),
                &format
            )
            .replace("line 4", "line 3"),
            format!(
                "line 3, column 'id': the name '{quoted}' stands on line 2 already, with other figures; give each kind \
                    of spring a name of its own"
            )
        );
        assert_eq!(
            refusal(&format!("{cell},od,l0,fmax,k\n"), &format),
            format!(
                "column of the stock list 'id' is not known; nearest to it: {quoted}, od, l0, fmax, k"
            )
        );
        let mut twice = plain_format();
        twice.columns[0].heading = cell.trim_matches('"').to_owned();
        let heading = format!("{cell},{cell},od,l0,fmax,k\n");
        let refused = refusal(&heading, &twice);
        assert!(
            refused.starts_with(&format!("line 1, column '{quoted}': columns 1 and 2")),
            "{refused}"
        );
    }
}

#[test]
fn an_arrangement_named_twice_is_tried_once() {
    let list = StockList::read(DRAWER, &drawer_format()).unwrap();
    use StockArrangement::{Opposed, Parallel, Single};
    let of = |arrangements| {
        let demand = StockDemand {
            arrangements,
            ..demand()
        };
        search_stock(&list, &demand).unwrap()
    };
    let once = of(vec![Opposed, Single, Parallel]);
    assert_eq!(
        of(vec![Opposed, Single, Opposed, Opposed, Parallel, Single]),
        once
    );
    assert_eq!(once.tried, 18 + 2 * 171);
}

#[test]
fn another_delimiter_is_named() {
    for (wrong, right) in [(',', ";"), (';', ","), (',', "\\t"), ('\t', "|")] {
        let separator = if right == "\\t" { "\t" } else { right };
        let text = "id,od,l0,fmax,k\na,0.5,2,10,20\n".replace(',', separator);
        let format = StockFormat {
            delimiter: wrong,
            ..plain_format()
        };
        assert_eq!(
            refusal(&text, &format),
            format!(
                "line 1, column '(the whole line)': the headings are not separated by '{}' but, it seems, by \
                    '{right}'; set the delimiter to '{right}'",
                wrong.escape_default()
            )
        );
    }
    // No other delimiter finds every heading either: then the heading is what is wrong.
    assert!(
        refusal("id;od;l0;fmax;rate\n", &plain_format())
            .starts_with("column of the stock list 'id' is not known")
    );
    for delimiter in ['"', '\n', '.', '-', '5', 'e', 'é'] {
        let format = StockFormat {
            delimiter,
            ..plain_format()
        };
        assert!(refusal("id,od,l0,fmax,k\n", &format).starts_with("delimiter of the stock list: "));
    }
}

/// 10,000 rows are the most.
#[test]
fn a_list_has_an_end() {
    let mut text = "id,od,l0,fmax,k\n".to_owned();
    for i in 0..10_001 {
        writeln!(text, "s{i},0.5,2,10,20").unwrap();
    }
    assert_eq!(
        refusal(&text, &plain_format()),
        "springs of the stock list: 10001 given, 1 to 10000 needed"
    );
}

/// By hand: D06 and D06 side by side are 0.7 N/mm, too much; two of D07 give 0.52 N/mm, 12 N from 3.2 N on at 16.92 mm.
#[test]
fn the_drawer_holds_what_is_wanted() {
    let list = StockList::read(DRAWER, &drawer_format()).unwrap();
    let sizing = search_stock(&list, &demand()).unwrap();
    // 18 single ones and three times 171 pairs.
    assert_eq!(sizing.tried, 18 + 3 * 171);
    let of = |arrangement, names: [&str; 2]| {
        sizing.found.iter().find(|choice| {
            let own: Vec<_> = choice.springs.iter().map(|s| s.name()).collect();
            choice.arrangement == arrangement && own == names
        })
    };
    let side_by_side = of(StockArrangement::Parallel, ["D07", "D07"]).unwrap();
    assert!((side_by_side.rate - 520.0).abs() < 1e-9);
    assert!((side_by_side.force - 12.0).abs() < 1e-12);
    assert!((side_by_side.lengths[0] - (45.0 + 8.8 / 0.52) * MM).abs() < 1e-12);
    assert!((side_by_side.use_of_travel - (8.8 / 0.52 + 20.0) / 68.0).abs() < 1e-12);
    // Against each other D07 starts at 40 mm of stretch, 20 mm either way.
    let opposed = of(StockArrangement::Opposed, ["D07", "D07"]).unwrap();
    assert!((opposed.lengths[0] - 85.0 * MM).abs() < 1e-12);
    assert!((opposed.use_of_travel - 60.0 / 68.0).abs() < 1e-12);
    assert!(of(StockArrangement::Parallel, ["D06", "D06"]).is_none());
    // One behind the other: 0.93 and 0.93 are 0.465 N/mm.
    let chain = of(StockArrangement::Series, ["D16", "D16"]).unwrap();
    assert!((chain.lengths[0] - 2.0 * (80.0 + 2.0 / 0.93) * MM).abs() < 1e-12);
    // Ranked by the rate.
    let misses: Vec<f64> = sizing
        .found
        .iter()
        .map(|c| (c.rate / 500.0 - 1.0).abs())
        .collect();
    assert!(misses.iter().all(|miss| *miss <= 0.1 + 1e-9));
    assert!(sizing.found[0].rate != sizing.found[sizing.found.len() - 1].rate);
}

fn one_extension(name: &str, [rate, free, longest, outer, initial, d]: [f64; 6]) -> StockList {
    let format = StockFormat {
        delimiter: ',',
        decimal_comma: false,
        ..drawer_format()
    };
    let text = format!(
        "no,outer mm,wire mm,free mm,longest mm,rate N/mm,initial \
            N\n{name},{outer},{d},{free},{longest},{rate},{initial}\n"
    );
    StockList::read(&text, &format).unwrap()
}

/// At the wanted force the spring would be stretched 0.045 mm too far at the end; 0.11 N less, a quarter of a percent,
/// keeps it whole.
#[test]
fn the_force_gives_way_before_the_spring_does() {
    let list = one_extension("E", [2.426, 27.0, 59.8, 12.7, 4.35, 1.3]);
    let demand = StockDemand {
        rate: 2610.0,
        rate_tolerance: 0.1,
        force: 40.939,
        force_tolerance: 0.05,
        travel: 17.763 * MM,
        room: [31.0 * MM, 52.4 * MM],
        arrangements: vec![StockArrangement::Single],
        ..demand()
    };
    let sizing = search_stock(&list, &demand).unwrap();
    let choice = sizing.best().unwrap();
    // Held 59.8 - 17.763 mm long it has 4.35 + 2.426 (42.037 - 27) N.
    assert!((choice.lengths[0] - 42.037 * MM).abs() < 1e-12);
    assert!((choice.force - (4.35 + 2.426 * 15.037)).abs() < 1e-9);
    assert!((choice.use_of_travel - 1.0).abs() < 1e-9);
    // Without a tolerance of the force nothing can give way, and the reason is told at the wanted force.
    let strict = StockDemand {
        force_tolerance: 0.001,
        ..demand
    };
    let sizing = search_stock(&list, &strict).unwrap();
    let nearest = sizing.nearest.unwrap().shortfalls[0];
    assert_eq!(nearest.requirement, requirement::TRAVEL);
    let end = (40.939 - 4.35) / 2426.0 + 17.763 * MM;
    assert!((nearest.value - end).abs() < 1e-12 && (nearest.limit - 32.8 * MM).abs() < 1e-12);
}

/// Opposed springs must not go slack, at rest with half a newton more than wanted; and of a life the force gives way to
/// the hook.
#[test]
fn the_force_gives_way_to_slack_and_to_life() {
    let list = one_extension("E", [0.5, 40.0, 120.0, 10.0, 2.0, 1.0]);
    let opposed = StockDemand {
        rate: 1000.0,
        force: 11.5,
        force_tolerance: 0.1,
        travel: 20.0 * MM,
        arrangements: vec![StockArrangement::Opposed],
        ..demand()
    };
    let choice = search_stock(&list, &opposed)
        .unwrap()
        .best()
        .unwrap()
        .clone();
    // 20 mm either way: 2 N + 0.5 N/mm 20 mm.
    assert!((choice.force - 12.0).abs() < 1e-9);
    assert_eq!(choice.lengths.len(), 2);
    assert!((choice.lengths[1] - 60.0 * MM).abs() < 1e-12);

    let life = LifeDemand {
        cycles: 1e6,
        surface: WireSurface::Unpeened,
        criterion: FatigueCriterion::Gerber,
        safety: 1.5,
    };
    let single = StockDemand {
        rate: 500.0,
        force: 30.0,
        force_tolerance: 0.9,
        travel: 10.0 * MM,
        life: Some(life),
        arrangements: vec![StockArrangement::Single],
        ..demand()
    };
    let choice = search_stock(&list, &single)
        .unwrap()
        .best()
        .unwrap()
        .clone();
    assert!((choice.life_safety.unwrap() - 1.5).abs() < 1e-9);
    assert!(choice.force < 30.0);
    // A wire of 12 mm is thicker than the data on life: it fails, and the rest of the list is judged.
    let thick = one_extension("T", [0.5, 200.0, 400.0, 100.0, 2.0, 12.0]);
    let sizing = search_stock(&thick.with(list).unwrap(), &single).unwrap();
    assert_eq!(sizing.best().unwrap(), &choice);
    assert!(
        sizing
            .rejected
            .iter()
            .any(|r| r.nearest.requirement == requirement::LIFE && r.nearest.value == 0.0)
    );
}

/// Two springs are worth their cost if they are nearer to the rate by more than a percent: 506 N/m alone stands behind
/// 250 + 250, before 248.5 + 250 and 248.5 + 248.5, for 500.
#[test]
fn a_second_spring_counts_a_percent() {
    let one = |name, rate| one_extension(name, [rate, 40.0, 200.0, 10.0, 1.0, 1.0]);
    let list = one("A", 0.506)
        .with(one("B", 0.2485))
        .unwrap()
        .with(one("C", 0.25))
        .unwrap();
    let demand = StockDemand {
        rate_tolerance: 0.05,
        arrangements: vec![StockArrangement::Single, StockArrangement::Parallel],
        ..demand()
    };
    let sizing = search_stock(&list, &demand).unwrap();
    let names: Vec<String> = sizing
        .found
        .iter()
        .map(|choice| choice.springs.iter().map(|spring| spring.name()).collect())
        .collect();
    assert_eq!(names, ["CC", "A", "BC", "BB"]);
    // Of two that use different shares of what they stand, the greater is told: both are stretched 40 mm at the end, of
    // 160 and of 80.
    let short = one_extension("D", [0.25, 40.0, 120.0, 10.0, 1.0, 1.0]);
    for list in [
        one("C", 0.25).with(short.clone()).unwrap(),
        short.with(one("C", 0.25)).unwrap(),
    ] {
        let found = search_stock(&list, &demand).unwrap().found;
        let pair = found
            .iter()
            .find(|choice| choice.springs[0] != choice.springs[1]);
        assert!((pair.unwrap().use_of_travel - 40.0 / 80.0).abs() < 1e-9);
    }
}

#[test]
fn nothing_fits_says_why() {
    let list = StockList::read(DRAWER, &drawer_format()).unwrap();
    let stiff = StockDemand {
        rate: 5000.0,
        ..demand()
    };
    let sizing = search_stock(&list, &stiff).unwrap();
    assert!(sizing.found.is_empty());
    assert!(
        sizing
            .rejected
            .iter()
            .any(|r| r.nearest.requirement == requirement::RATE && r.count == sizing.tried)
    );
    let text = sizing.best().unwrap_err().to_string();
    assert!(
        text.contains("arrangements of springs from the list"),
        "{text}"
    );
}

#[test]
fn life_needs_the_wire() {
    let life = LifeDemand {
        cycles: 1e6,
        surface: WireSurface::Unpeened,
        criterion: FatigueCriterion::Gerber,
        safety: 1.1,
    };
    let demand = StockDemand {
        life: Some(life),
        ..demand()
    };
    let list = StockList::read(DRAWER, &drawer_format()).unwrap();
    let sizing = search_stock(&list, &demand).unwrap();
    assert!(!sizing.found.is_empty());
    assert!(
        sizing
            .found
            .iter()
            .all(|choice| choice.life_safety.unwrap() >= 1.1 - 1e-9)
    );
    let unknown = StockList::read(
        DRAWER,
        &StockFormat {
            wire: None,
            ..drawer_format()
        },
    )
    .unwrap();
    assert!(matches!(
        search_stock(&unknown, &demand),
        Err(Error::NotAChoice { .. })
    ));
}

/// The list that the bench takes: 447 springs make 1e5 pairs.
#[test]
fn a_long_list_is_searched_whole() {
    let mut text = "id,od,l0,fmax,k\n".to_owned();
    for i in 0..447 {
        writeln!(
            text,
            "s{i},0.5,{},1,{}",
            2.0 + 0.01 * f64::from(i),
            1.0 + 0.1 * f64::from(i)
        )
        .unwrap();
    }
    let list = StockList::read(&text, &plain_format()).unwrap();
    let arrangements = vec![StockArrangement::Parallel];
    let parallel = StockDemand {
        arrangements,
        ..demand()
    };
    let sizing = search_stock(&list, &parallel).unwrap();
    assert_eq!(sizing.tried, 447 * 448 / 2);
    // Of a loose demand the best thousand are kept, and all are counted.
    let loose = StockDemand {
        rate: 5000.0,
        rate_tolerance: 1.0,
        force: 4.0,
        force_tolerance: 10.0,
        travel: 0.1 * MM,
        room: [0.0, 1.0],
        arrangements: vec![StockArrangement::Parallel],
        ..demand()
    };
    let sizing = search_stock(&list, &loose).unwrap();
    assert!(sizing.fitting > 1000);
    assert_eq!(sizing.found.len(), 1000);
    // The thousandth is the last that fits a demand as tight as it, and none nearer than the first was lost.
    let departure = |number: usize| (sizing.found[number].rate / 5000.0 - 1.0).abs();
    let within = |rate_tolerance| {
        let demand = StockDemand {
            rate_tolerance,
            ..loose.clone()
        };
        search_stock(&list, &demand).unwrap().fitting
    };
    assert!(within(departure(999)) >= 1000);
    assert!(within(departure(999) - 1e-6) < 1000);
    assert_eq!(within(departure(0) - 1e-6), 0);
}

#[test]
fn a_demand_is_checked() {
    let list = StockList::read(DRAWER, &drawer_format()).unwrap();
    let refused = |demand: StockDemand| search_stock(&list, &demand).unwrap_err().to_string();
    let text = refused(StockDemand {
        travel: 20.0,
        ..demand()
    });
    assert_eq!(
        text,
        "travel of the springs = 20 m is outside 0.00001 to 5 m; did you mean 20 * MM?"
    );
    assert!(
        refused(StockDemand {
            rate: f64::NAN,
            ..demand()
        })
        .contains("NaN")
    );
    assert!(
        refused(StockDemand {
            room: [0.2, 0.1],
            ..demand()
        })
        .contains("is not below")
    );
    assert!(
        refused(StockDemand {
            arrangements: vec![],
            ..demand()
        })
        .contains("arrangements to try: 0 given")
    );
}

/// The ranges as they are documented, by the error that names them.
#[test]
fn a_demand_keeps_to_its_ranges() {
    let list = StockList::read(DRAWER, &drawer_format()).unwrap();
    let with = |words: &str, expected: [f64; 2], change: fn(&mut StockDemand)| {
        let mut demand = demand();
        change(&mut demand);
        match search_stock(&list, &demand) {
            Err(Error::OutOfRange {
                quantity, min, max, ..
            }) => assert!(
                quantity.contains(words) && [min, max] == expected,
                "{quantity}: {min} to {max}"
            ),
            other => panic!("{words}: {other:?}"),
        }
    };
    with("wanted rate", [1e-3, 1e7], |d| d.rate = 9e-4);
    with("of the rate", [0.0, 1.0], |d| d.rate_tolerance = -1e-9);
    with("wanted force", [1e-3, 1e5], |d| d.force = 9e-4);
    with("of the force", [0.0, 10.0], |d| d.force_tolerance = -1e-9);
    with("travel", [1e-5, 5.0], |d| d.travel = 9e-6);
    with("room", [0.0, 10.0], |d| d.room[0] = -1e-9);
    with("bore", [1e-4, 1.0], |d| d.bore = Some(9e-5));
    with("cycles", [1.0, 1e12], |d| {
        d.life = Some(LifeDemand {
            cycles: 0.5,
            surface: WireSurface::Unpeened,
            criterion: FatigueCriterion::Gerber,
            safety: 1.0,
        });
    });
    let row = |row: &str| {
        let format = StockFormat {
            columns: vec![
                column(Q::Name, "n", ""),
                column(Q::OuterDiameter, "d", "m"),
                column(Q::FreeLength, "l", "m"),
                column(Q::LimitLength, "x", "m"),
                column(Q::Rate, "k", "N/m"),
            ],
            kind: StockKind::Extension,
            ..plain_format()
        };
        refusal(&format!("n,d,l,x,k\n{row}\n"), &format)
    };
    for (text, words) in [
        (
            "a,0.00009,0.1,0.2,500",
            "outer diameter = 0.00009 m is outside 0.0001 to 1 m",
        ),
        (
            "a,0.01,0.1,0.2,0.0009",
            "rate = 0.0009 N/m is outside 0.001 to 10000000 N/m",
        ),
        (
            "a,0.01,0.1,0.1,500",
            "deflection at the limit = 0 m is outside 0.000001 to 10 m",
        ),
    ] {
        assert!(row(text).ends_with(words), "{}", row(text));
    }
}

/// A limit by force counts from the initial tension: 2 N of the 12 N stretch nothing, the other 10 N at 0.5 N/mm 20 mm.
#[test]
fn a_limit_by_force_counts_from_the_initial_tension() {
    let format = StockFormat {
        columns: vec![
            column(Q::Name, "n", ""),
            column(Q::OuterDiameter, "d", "mm"),
            column(Q::FreeLength, "l", "mm"),
            column(Q::LimitForce, "f", "N"),
            column(Q::Rate, "k", "N/mm"),
            column(Q::InitialTension, "i", "N"),
        ],
        kind: StockKind::Extension,
        ..plain_format()
    };
    let list = StockList::read("n,d,l,f,k,i\na,9,60,12,0.5,2\n", &format).unwrap();
    let spring = &list.springs()[0];
    assert!((spring.max_deflection() - 20.0 * MM).abs() < 1e-12);
    let law = spring.line_spring();
    assert!((law.length_range()[1] - 80.0 * MM).abs() < 1e-12);
    assert!((law.response(80.0 * MM).unwrap().tension - 12.0).abs() < 1e-9);
    // Wire, kilograms and other units of the same spring: 2 kgf are 19.6133 N.
    let mut other = format;
    other.columns[3].unit = "kgf".to_owned();
    other.columns[4].unit = "kgf/mm".to_owned();
    let list = StockList::read("n,d,l,f,k,i\na,9,60,2,0.05,0\n", &other).unwrap();
    let spring = &list.springs()[0];
    assert!((spring.rate() - 490.3325).abs() < 1e-9);
    assert!((spring.max_deflection() - 40.0 * MM).abs() < 1e-12);
}

/// Without any tolerance only the spring that meets rate and force exactly fits.
#[test]
fn no_tolerance_is_none() {
    let one = |name, rate| one_extension(name, [rate, 40.0, 200.0, 10.0, 2.0, 1.0]);
    let list = one("A", 0.49).with(one("B", 0.5)).unwrap();
    let list = list.with(one("C", 0.51)).unwrap();
    let exact = StockDemand {
        rate_tolerance: 0.0,
        force_tolerance: 0.0,
        arrangements: vec![StockArrangement::Single],
        ..demand()
    };
    let sizing = search_stock(&list, &exact).unwrap();
    assert_eq!((sizing.fitting, sizing.tried), (1, 3));
    let best = sizing.best().unwrap();
    assert_eq!(
        (best.springs[0].name(), best.rate, best.force),
        ("B", 500.0, 12.0)
    );
    // The two others miss the rate by two percent each.
    assert_eq!(sizing.rejected.len(), 1);
    assert_eq!(sizing.rejected[0].count, 2);
    assert!((sizing.rejected[0].nearest.value - 0.02).abs() < 1e-12);
}

/// Of springs that fail in one thing the one is told that misses by least, wherever it stands: travel ends at 20 + 20
/// mm, they stand 25, 38 and 30.
#[test]
fn the_nearest_of_what_fails_is_told() {
    let one = |name, longest| one_extension(name, [0.5, 40.0, longest, 10.0, 2.0, 1.0]);
    let sizes = [("A", 65.0), ("B", 78.0), ("C", 70.0)];
    for turn in 0..3 {
        let mut list = StockList::default();
        for i in 0..3 {
            let (name, longest) = sizes[(i + turn) % 3];
            list = list.with(one(name, longest)).unwrap();
        }
        let demand = StockDemand {
            force_tolerance: 0.0,
            arrangements: vec![StockArrangement::Single],
            ..demand()
        };
        let sizing = search_stock(&list, &demand).unwrap();
        assert_eq!(sizing.rejected.len(), 1);
        let rejection = &sizing.rejected[0];
        assert_eq!(
            (rejection.count, rejection.nearest.requirement),
            (3, requirement::TRAVEL)
        );
        assert!((rejection.nearest.value - 40.0 * MM).abs() < 1e-12);
        assert!((rejection.nearest.limit - 38.0 * MM).abs() < 1e-12);
        let nearest = sizing.nearest.as_ref().unwrap();
        assert_eq!(nearest.shortfalls, [rejection.nearest]);
        // It comes with the spring that it is about: two millimeters of 38 beyond.
        let candidate = nearest.candidate.as_ref().unwrap();
        assert_eq!(candidate.springs[0].name(), "B");
        assert!((nearest.shortfalls[0].share - 2.0 / 38.0).abs() < 1e-9);
    }
}

/// The travel ends just where the springs do: 10 N at 0.5 N/mm and 20 mm more are 40 mm, which they stand, whatever the
/// last bit of their lengths is.
#[test]
fn limits_that_meet_in_one_force_leave_it() {
    for i in 0..50 {
        let free = 40.0 + 0.1 * f64::from(i);
        let list = one_extension("E", [0.5, free, free + 40.0, 10.0, 2.0, 1.0]);
        let demand = StockDemand {
            force_tolerance: 0.0,
            arrangements: vec![StockArrangement::Single],
            ..demand()
        };
        let sizing = search_stock(&list, &demand).unwrap();
        let best = sizing.best().unwrap();
        assert!((best.force - 12.0).abs() < 1e-8, "{free}: {}", best.force);
        assert!((best.use_of_travel - 1.0).abs() < 1e-8);
        // Two one behind the other have half the rate, and the same in any other order of the steps.
        let rate = 0.3 + 0.017 * f64::from(i);
        let list = one_extension("E", [rate, free, free + 80.0, 10.0, 2.0, 1.0]);
        let pair = StockDemand {
            rate: rate / 2.0 / MM,
            rate_tolerance: 0.0,
            force: 3.0,
            force_tolerance: 0.0,
            arrangements: vec![StockArrangement::Series],
            ..demand.clone()
        };
        assert_eq!(search_stock(&list, &pair).unwrap().found.len(), 1, "{rate}");
    }
}

/// Where the limit is zero a miss counts as whole: a spring that hangs slack by 16 mm where none is allowed is nearer
/// than one that is stretched by 40 mm and stands 15. It has 20 N of initial tension, and 12 N are wanted of it.
#[test]
fn a_miss_of_nothing_counts_as_whole() {
    let slack = one_extension("A", [0.5, 60.0, 200.0, 10.0, 20.0, 2.0]);
    let short = one_extension("B", [0.5, 25.0, 40.0, 10.0, 2.0, 1.0]);
    for list in [
        slack.clone().with(short.clone()).unwrap(),
        short.with(slack).unwrap(),
    ] {
        let demand = StockDemand {
            force_tolerance: 0.0,
            room: [30.0 * MM, 50.0 * MM],
            arrangements: vec![StockArrangement::Single],
            ..demand()
        };
        let sizing = search_stock(&list, &demand).unwrap();
        let nearest = sizing.nearest.unwrap().shortfalls[0];
        assert_eq!(
            (nearest.requirement, nearest.limit),
            (requirement::SLACK, 0.0)
        );
        assert!((nearest.value + 16.0 * MM).abs() < 1e-12);
        let travel = sizing
            .rejected
            .iter()
            .find(|r| r.nearest.requirement == requirement::TRAVEL);
        assert_eq!(travel.unwrap().count, 1);
    }
}
