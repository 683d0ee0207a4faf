//! The cheapest assignment of rows to columns, each column taken once at most.

/// Buffers, kept from one assignment to the next.
///
/// Shortest augmenting paths with prices on rows and columns: H. W. Kuhn, Naval Research
/// Logistics Quarterly 2, 1955, in the form that takes rows up one by one (from memory).
#[derive(Debug, Clone, Default)]
pub(super) struct Matching {
    row_price: Vec<i64>,
    column_price: Vec<i64>,
    /// Row by column; `rows` where none has taken it. One column more stands for where a new row comes from.
    row_of: Vec<usize>,
    /// The column before, on the shortest path to a column.
    came_from: Vec<usize>,
    /// Length of that path, as far as it is known.
    length: Vec<i64>,
    reached: Vec<bool>,
}

impl Matching {
    /// Answers the column of each row; `prices` holds a row after the other. There are at least as many columns.
    pub(super) fn cheapest(&mut self, prices: &[i64], columns: usize, column_of: &mut Vec<usize>) {
        let rows = prices.len() / columns.max(1);
        fill(&mut self.row_price, rows + 1, 0);
        fill(&mut self.column_price, columns + 1, 0);
        fill(&mut self.row_of, columns + 1, rows);
        fill(&mut self.came_from, columns + 1, columns);
        for row in 0..rows {
            self.row_of[columns] = row;
            let free = self.nearest_free_column(prices, rows, columns);
            self.shift_along_the_path(free, columns);
            self.row_of[columns] = rows;
        }
        fill(column_of, rows, 0);
        for (column, &row) in self.row_of.iter().enumerate() {
            if row < rows {
                column_of[row] = column;
            }
        }
    }

    /// From the row that has no column yet to the nearest column that has no row.
    fn nearest_free_column(&mut self, prices: &[i64], rows: usize, columns: usize) -> usize {
        fill(&mut self.length, columns + 1, i64::MAX);
        fill(&mut self.reached, columns + 1, false);
        let mut column = columns;
        loop {
            self.reached[column] = true;
            let row = self.row_of[column];
            let mut step = i64::MAX;
            let mut next = columns;
            for to in (0..columns).filter(|to| !self.reached[*to]) {
                let length = prices[row * columns + to] - self.row_price[row] - self.column_price[to];
                if length < self.length[to] {
                    self.length[to] = length;
                    self.came_from[to] = column;
                }
                if self.length[to] < step {
                    step = self.length[to];
                    next = to;
                }
            }
            for to in 0..=columns {
                if self.reached[to] {
                    self.row_price[self.row_of[to]] += step;
                    self.column_price[to] -= step;
                } else {
                    self.length[to] = self.length[to].saturating_sub(step);
                }
            }
            column = next;
            if self.row_of[column] == rows {
                return column;
            }
        }
    }

    fn shift_along_the_path(&mut self, free: usize, columns: usize) {
        let mut column = free;
        while column != columns {
            let before = self.came_from[column];
            self.row_of[column] = self.row_of[before];
            column = before;
        }
    }
}

fn fill<T: Clone>(list: &mut Vec<T>, length: usize, with: T) {
    list.clear();
    list.resize(length, with);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chance::Chance;

    /// Every way there is, one after the other.
    fn by_trying_all(prices: &[i64], columns: usize, taken: &mut Vec<usize>) -> i64 {
        let row = taken.len();
        if row * columns == prices.len() {
            return 0;
        }
        let mut least = i64::MAX;
        for column in 0..columns {
            if !taken.contains(&column) {
                taken.push(column);
                least = least.min(prices[row * columns + column] + by_trying_all(prices, columns, taken));
                taken.pop();
            }
        }
        least
    }

    #[test]
    fn no_other_assignment_is_cheaper() {
        let mut chance = Chance::from_seed(1);
        let mut matching = Matching::default();
        let mut column_of = Vec::new();
        for case in 0..300 {
            let columns = 1 + chance.below(6);
            let rows = 1 + chance.below(columns);
            let price = |chance: &mut Chance| i64::try_from(chance.below(40)).unwrap() - 20;
            let prices: Vec<i64> = (0..rows * columns).map(|_| price(&mut chance)).collect();
            matching.cheapest(&prices, columns, &mut column_of);
            let mut once = column_of.clone();
            once.sort_unstable();
            once.dedup();
            assert_eq!(once.len(), rows, "case {case}: a column is taken once");
            let sum: i64 = (0..rows).map(|row| prices[row * columns + column_of[row]]).sum();
            assert_eq!(
                sum,
                by_trying_all(&prices, columns, &mut Vec::new()),
                "case {case}"
            );
        }
    }
}
