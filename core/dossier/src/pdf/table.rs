//! Tables: columns as wide as their words need, heads that are repeated, rows that part only when a sheet is too low for them.

use std::collections::BTreeMap;
use std::rc::Rc;

use garboard_record::Decimal;

use super::face::{Faces, HAIR, INK, LABEL, Line, Look, Shaped, TABLE, TABLE_HEAD, TABLE_SOFT};
use super::flow::{Carry, Draw, Head, Role, Slab};
use super::layout::{Setter, name};
use crate::outline::{Row, Table};

const LEADING: f32 = 10.8;
const GUTTER: f32 = 11.0;

/// Gives each column its width, from what its longest word and its longest cell need.
fn columns(needs: &[(f32, f32)], width: f32) -> Vec<f32> {
    let n = needs.iter().map(|_| GUTTER).sum::<f32>() - GUTTER;
    let free = (width - n).max(1.0);
    let least: f32 = needs.iter().map(|(least, _)| least).sum();
    let most: f32 = needs.iter().map(|(_, most)| most).sum();
    let shares = |from: &dyn Fn(&(f32, f32)) -> f32, rest: f32| -> Vec<f32> {
        let all: f32 = needs.iter().map(from).sum();
        needs
            .iter()
            .map(|need| {
                if all > 0.0 {
                    rest * from(need) / all
                } else {
                    0.0
                }
            })
            .collect()
    };
    if most <= free {
        let more = shares(&|(_, most)| *most, free - most);
        needs
            .iter()
            .zip(more)
            .map(|((_, most), more)| most + more)
            .collect()
    } else if least <= free {
        let more = shares(&|(least, most)| most - least, free - least);
        needs
            .iter()
            .zip(more)
            .map(|((least, _), more)| least + more)
            .collect()
    } else {
        shares(&|(least, _)| *least, free)
    }
}

/// Lets a digest break into halves.
fn breakable(words: &str) -> String {
    if words.len() == 64 && words.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        let (first, last) = words.split_at(32);
        return format!("{first}\n{last}");
    }
    words.to_owned()
}

fn row_look(row: &Row, at: usize) -> Look {
    match (row.is_total, row.struck_cell) {
        (true, _) => TABLE_HEAD,
        (_, Some(struck)) => Look {
            is_struck: struck == at,
            ..TABLE_SOFT
        },
        _ => TABLE,
    }
}

/// A line of carried sums.
pub(super) fn carried(faces: &mut Faces, label: &str, carry: &Carry, head: &Head) -> Vec<Draw> {
    let mut draws = Vec::new();
    let sums = carry.sums.iter().map(|(column, sum)| {
        let edge = head.edges.get(*column).copied().unwrap_or_default();
        (sum.as_str(), Some(edge))
    });
    for (words, edge) in std::iter::once((label, None)).chain(sums) {
        for line in faces.set(&[(words, TABLE_SOFT)], LEADING, f32::MAX) {
            let x = edge.map_or(0.0, |edge| edge - line.width);
            draws.extend(line.runs.into_iter().map(|run| Draw::Words {
                x,
                y: 2.6 + line.baseline,
                run,
                mark: None,
            }));
        }
    }
    draws
}

/// A figure with its unit, like `12.30 EUR`; nothing where a cell is empty or says that there is none.
fn figure(cell: &str) -> Option<Option<(Decimal, &str)>> {
    let cell = cell.trim();
    if matches!(cell, "" | "–" | "no price") {
        return Some(None);
    }
    let (number, unit) = cell.split_once(' ').unwrap_or((cell, ""));
    let is_unit = unit.chars().all(char::is_alphabetic);
    let number = number.parse().ok().filter(|_| is_unit)?;
    Some(Some((number, unit)))
}

/// The sums of a table's columns after each of its rows; nothing for a table whose totals are not the sums of its lines.
fn running(table: &Table) -> Vec<Option<Carry>> {
    let totals = || table.rows.iter().filter(|row| row.is_total);
    let lines = || table.rows.iter().filter(|row| !row.is_total);
    let mut out: Vec<Option<Carry>> = lines().map(|_| None).collect();
    if totals().next().is_none() {
        return out;
    }
    for (at, column) in table.columns.iter().enumerate().filter(|(at, _)| *at > 0) {
        let cell = |row: &Row| {
            figure(row.cells.get(at).map_or("", |cell| &cell.text))
                .map(|one| one.map(|(number, unit)| (number, unit.to_owned())))
        };
        let mut sums: BTreeMap<String, Decimal> = BTreeMap::new();
        let mut told: Vec<String> = Vec::new();
        for row in lines() {
            let Some(figure) = cell(row).filter(|_| column.is_figures) else {
                told.clear();
                break;
            };
            if let Some((number, unit)) = figure {
                let sum = sums.entry(unit).or_default();
                *sum = sum.plus(number).unwrap_or_default();
            }
            let parts: Vec<String> = sums
                .iter()
                .map(|(unit, sum)| format!("{sum} {unit}").trim().to_owned())
                .collect();
            told.push(parts.join(", "));
        }
        // What is printed at the end must be what was carried.
        let mut printed: BTreeMap<String, Decimal> = BTreeMap::new();
        for (number, unit) in totals().filter_map(|row| cell(row).flatten()) {
            printed.insert(unit, number);
        }
        if told.is_empty() || printed.is_empty() || printed != sums {
            continue;
        }
        for (carry, sum) in out.iter_mut().zip(told).filter(|(_, sum)| !sum.is_empty()) {
            carry
                .get_or_insert_with(|| Carry { sums: Vec::new() })
                .sums
                .push((at, sum));
        }
    }
    out
}

impl Setter<'_> {
    pub(super) fn table(&mut self, table: &Table, part: usize) {
        if table.columns.is_empty() {
            return;
        }
        let titles: Vec<String> = table
            .columns
            .iter()
            .map(|column| {
                if column.title.is_empty() {
                    "No.".to_owned()
                } else {
                    column.title.clone()
                }
            })
            .collect();
        let mut needs: Vec<(f32, f32)> = Vec::new();
        let mut heads: Vec<Shaped> = Vec::new();
        for title in &titles {
            let shaped = self.faces.shape(&[(title, TABLE_HEAD)], LEADING);
            needs.push(shaped.widths());
            heads.push(shaped);
        }
        // Cells are shaped for their widths and once more for their lines: kept meanwhile, those of a long table would take more
        // memory than all else.
        for row in &table.rows {
            for ((at, cell), (column, need)) in row
                .cells
                .iter()
                .enumerate()
                .zip(table.columns.iter().zip(&mut needs))
            {
                let text = breakable(cell.text.trim());
                let shaped = self.faces.shape(&[(&text, row_look(row, at))], LEADING);
                let (least, most) = shaped.widths();
                // A figure stays on one line.
                need.0 = need
                    .0
                    .max(if column.is_figures { most } else { least }.min(140.0));
                need.1 = need.1.max(most.min(300.0));
            }
        }
        for need in &mut needs {
            need.1 = need.1.max(need.0) + 0.5;
            need.0 += 0.5;
        }
        let widths = columns(&needs, self.width);
        let top = self.tree.part(part, Role::Table(table.caption.clone()));
        let caption = self.tree.part(top, Role::Caption);
        let lines = self.faces.set(&[(&table.caption, LABEL)], 11.0, self.width);
        for (at, line) in lines.iter().enumerate() {
            let mut slab = Slab {
                space: if at == 0 { 12.0 } else { 0.0 },
                height: line.height + 2.0,
                is_kept: true,
                ..Slab::default()
            };
            self.line(
                line,
                0.0,
                0.0,
                &[],
                caption,
                &mut BTreeMap::new(),
                &mut slab.draws,
            );
            self.slabs.push(slab);
        }
        let head = self.table_head(table, &mut heads, &widths, top);
        let (mut body, mut foot) = (None, None);
        let n_rows = table.rows.len();
        let mut carries = running(table).into_iter();
        let from = self.slabs.len();
        for (at, row) in table.rows.iter().enumerate() {
            let group = if row.is_total {
                *foot.get_or_insert_with(|| self.tree.part(top, Role::Totals))
            } else {
                *body.get_or_insert_with(|| self.tree.part(top, Role::Rows))
            };
            let cells = row.cells.iter().zip(&table.columns);
            let texts: Vec<String> = cells.map(|(cell, _)| breakable(cell.text.trim())).collect();
            let mut lines: Vec<Vec<Line>> = Vec::new();
            for ((at, text), width) in texts.iter().enumerate().zip(&widths) {
                lines.push(
                    self.faces
                        .set(&[(text, row_look(row, at))], LEADING, *width),
                );
            }
            // A total stays with the row above it, the first row with the second, and the last three together.
            let next_is_total = table.rows.get(at + 1).is_some_and(|next| next.is_total);
            let is_kept = at + 1 < n_rows && (next_is_total || at == 0 || at + 3 >= n_rows);
            self.row(table, row, &lines, &texts, &widths, group, &head, is_kept);
            if !row.is_total
                && let Some(slab) = self.slabs.last_mut()
            {
                slab.carry = carries.next().flatten().filter(|_| !next_is_total);
            }
        }
        // A short table stays on one page.
        let high: f32 = self.slabs.iter().skip(from).map(|slab| slab.height).sum();
        if n_rows <= 9 && high < self.tall * 0.6 {
            let n = self.slabs.len();
            for slab in self.slabs.iter_mut().take(n.saturating_sub(1)).skip(from) {
                slab.is_kept = true;
            }
        }
        if let Some(slab) = self.slabs.last_mut() {
            slab.height += 6.0;
        }
    }

    fn table_head(
        &mut self,
        table: &Table,
        heads: &mut [Shaped],
        widths: &[f32],
        top: usize,
    ) -> Rc<Head> {
        let group = self.tree.part(top, Role::Head);
        let tr = self.tree.part(group, Role::Row);
        let set: Vec<Vec<Line>> = heads
            .iter_mut()
            .zip(widths)
            .map(|(head, width)| self.faces.lines(head, *width))
            .collect();
        let n = set.iter().map(Vec::len).max().unwrap_or(0);
        let mut height = 2.0;
        for _ in 0..n {
            height += LEADING;
        }
        let mut slab = Slab {
            height: height + 3.6,
            is_kept: true,
            ..Slab::default()
        };
        let mut again = Vec::new();
        let mut edges = Vec::new();
        let mut x = 0.0;
        for ((lines, width), column) in set.iter().zip(widths).zip(&table.columns) {
            let cell = self.tree.part(tr, Role::HeadCell);
            // Heads stand on the rule.
            let mut y = height;
            for line in lines {
                y -= line.height;
            }
            for line in lines {
                let left = if column.is_figures {
                    x + width - line.width
                } else {
                    x
                };
                self.line(
                    line,
                    left,
                    y,
                    &[],
                    cell,
                    &mut BTreeMap::new(),
                    &mut slab.draws,
                );
                for run in &line.runs {
                    again.push(Draw::Words {
                        x: left,
                        y: y + line.baseline,
                        run: run.clone(),
                        mark: None,
                    });
                }
                y += line.height;
            }
            edges.push(x + width);
            x += width + GUTTER;
        }
        let rule = Draw::Rule {
            x: 0.0,
            y: height + 2.0,
            width: self.width,
            weight: 0.6,
            ink: INK,
        };
        slab.draws.push(rule.clone());
        again.push(rule);
        let head = Rc::new(Head {
            height: slab.height,
            draws: again,
            edges,
        });
        self.slabs.push(slab);
        head
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "a row, its lines and words, the columns, and where it belongs"
    )]
    fn row(
        &mut self,
        table: &Table,
        row: &Row,
        lines: &[Vec<Line>],
        texts: &[String],
        widths: &[f32],
        group: usize,
        head: &Rc<Head>,
        is_kept: bool,
    ) {
        let tr = self.tree.part(group, Role::Row);
        let cells: Vec<usize> = table
            .columns
            .iter()
            .map(|_| self.tree.part(tr, Role::Cell))
            .collect();
        let mut ways: Vec<BTreeMap<usize, usize>> = cells.iter().map(|_| BTreeMap::new()).collect();
        let n = lines.iter().map(Vec::len).max().unwrap_or(1).max(1);
        for at in 0..n {
            let high = if at == 0 { 2.6 } else { 0.0 };
            let mut slab = Slab {
                height: LEADING + high,
                // A row parts only where it is taller than a good part of a sheet.
                is_kept: if at + 1 == n {
                    is_kept
                } else {
                    n <= 24 || at == 0 || at + 2 == n
                },
                head: Some(Rc::clone(head)),
                ..Slab::default()
            };
            if at == 0 {
                slab.anchors.extend(row.anchor.map(name));
                if row.is_total {
                    slab.draws.push(Draw::Rule {
                        x: 0.0,
                        y: 0.0,
                        width: self.width,
                        weight: 0.6,
                        ink: INK,
                    });
                }
            }
            let mut x = 0.0;
            for (column, (((cell, width), part), way)) in table
                .columns
                .iter()
                .zip(lines.iter().zip(widths).zip(&cells).zip(&mut ways))
            {
                let of = cells.iter().position(|other| other == part).unwrap_or(0);
                if let Some(line) = cell.get(at) {
                    let left = if column.is_figures {
                        x + width - line.width
                    } else {
                        x
                    };
                    let says = texts.get(of).map_or("", String::as_str);
                    let link = row.cells.get(of).and_then(|cell| cell.link);
                    let parts = [(says, row_look(row, of), link)];
                    self.line(line, left, high, &parts, *part, way, &mut slab.draws);
                }
                x += width + GUTTER;
            }
            if at + 1 == n {
                slab.height += 3.2;
                if !row.is_total {
                    let y = slab.height - 0.4;
                    slab.draws.push(Draw::Rule {
                        x: 0.0,
                        y,
                        width: self.width,
                        weight: 0.4,
                        ink: HAIR,
                    });
                }
            }
            self.slabs.push(slab);
        }
    }
}
