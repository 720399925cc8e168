//! A currency in which sums are said once more, at rates that the seller gives. What was paid stays as it was written.

use std::collections::BTreeMap;

use garboard_record::{Decimal, Money};

use crate::outline::{Block, Outline, Table};
use crate::words;

/// Why a currency or its rates cannot be taken.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Error {
    /// When a currency is not three capital letters (ISO 4217).
    #[error("a currency is three capital letters like EUR, found {found:?}")]
    Currency {
        /// What was given.
        found: String,
    },
    /// When a rate is no number above zero.
    #[error("a rate is a currency and what one of it is worth, like USD 0.92, found {found:?}")]
    Rate {
        /// What was given.
        found: String,
    },
    /// When a currency has two rates, or the one that sums are said in has one.
    #[error("{currency} has a rate already")]
    Twice {
        /// Which.
        currency: String,
    },
    /// When there are rates and no currency to say sums in.
    #[error("there are rates, but no currency in which sums are to be said")]
    Nothing,
    /// When the log has costs in a currency without a rate.
    #[error("the log has costs in {} without a rate; say what one of each is worth in {to}", words::list(.currencies))]
    Lacking {
        /// Which currencies.
        currencies: Vec<String>,
        /// What sums are to be said in.
        to: String,
    },
}

/// A currency and what one of each other is worth in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Exchange {
    currency: String,
    rates: BTreeMap<String, Decimal>,
}

impl Exchange {
    /// Reads a currency like `EUR` and rates like `USD 0.92, GBP 1.15`: what one of each is worth in it. Blank is none.
    ///
    /// ```
    /// use garboard_dossier::Exchange;
    ///
    /// assert!(Exchange::read("EUR", "1 USD = 0,92; GBP 1.15").unwrap().is_some());
    /// assert_eq!(Exchange::read("", "").unwrap(), None);
    /// assert!(Exchange::read("EUR", "USD").is_err());
    /// ```
    ///
    /// # Errors
    ///
    /// - [`Error::Currency`] when a currency is not three capital letters
    /// - [`Error::Rate`] when a rate is no number above zero
    /// - [`Error::Twice`] when a currency has two rates
    /// - [`Error::Nothing`] when there are rates alone
    pub fn read(currency: &str, rates: &str) -> Result<Option<Self>, Error> {
        let currency = currency.trim();
        let rates = rates.trim();
        if currency.is_empty() {
            return if rates.is_empty() {
                Ok(None)
            } else {
                Err(Error::Nothing)
            };
        }
        let known = |code: &str| {
            if garboard_record::quantity::is_currency(code) {
                Ok(code.to_owned())
            } else {
                Err(Error::Currency {
                    found: code.to_owned(),
                })
            }
        };
        let mut out = Self {
            currency: known(currency)?,
            rates: BTreeMap::new(),
        };
        // A rate begins with its letters; the number before them may only be one.
        let mut rest = rates.trim_start_matches("1 ");
        while !rest.is_empty() {
            let n_letters = rest
                .find(|c: char| !c.is_alphabetic())
                .unwrap_or(rest.len());
            let (code, after) = rest.split_at(n_letters);
            let end = after.find(char::is_alphabetic).unwrap_or(after.len());
            let (number, next) = after.split_at(end);
            let is_sign = |c: char| c.is_whitespace() || matches!(c, '=' | ',' | ';' | ':');
            let mut number = number.trim_matches(is_sign);
            if !next.is_empty()
                && let Some(before) = number.strip_suffix('1')
                && before.ends_with(is_sign)
            {
                number = before.trim_end_matches(is_sign);
            }
            let refused = || Error::Rate {
                found: format!("{code} {number}").trim().to_owned(),
            };
            if code.is_empty() {
                return Err(refused());
            }
            let rate = Decimal::from_written(number).map_err(|_no_number| refused())?;
            if rate.is_negative() || rate == Decimal::ZERO {
                return Err(refused());
            }
            let code = known(code)?;
            if code == out.currency || out.rates.insert(code.clone(), rate).is_some() {
                return Err(Error::Twice { currency: code });
            }
            rest = next;
        }
        Ok(Some(out))
    }

    /// Says no to an outline with costs in a currency that has no rate.
    ///
    /// # Errors
    ///
    /// - [`Error::Lacking`]
    pub fn check(&self, outline: &Outline) -> Result<(), Error> {
        if outline.without_rate.is_empty() {
            return Ok(());
        }
        Err(Error::Lacking {
            currencies: outline.without_rate.clone(),
            to: self.currency.clone(),
        })
    }

    /// How sums are said, for those who read them.
    pub(crate) fn said(&self) -> String {
        let currency = &self.currency;
        let rates = if self.rates.is_empty() {
            String::new()
        } else {
            format!(": {}", self.rates())
        };
        format!(
            "By the seller’s choice sums of money are also said in {currency}, at the rates that the seller gave{rates}. What was paid stands as it was written, and so do the ledgers."
        )
    }

    /// The rates as they are printed.
    pub(crate) fn rates(&self) -> String {
        let rates: Vec<String> = self
            .rates
            .iter()
            .map(|(code, rate)| format!("1 {code} = {rate} {}", self.currency))
            .collect();
        words::list(&rates)
    }

    /// The currencies of these sums that have no rate.
    pub(crate) fn lacks(&self, sums: &BTreeMap<String, Decimal>) -> Vec<String> {
        let codes = sums.keys();
        codes
            .filter(|code| **code != self.currency && !self.rates.contains_key(*code))
            .cloned()
            .collect()
    }

    /// Each sum in the currency, rounded once, with its rate; nothing where all is in it already, or where a rate is lacking.
    fn lines<'a>(
        &'a self,
        sums: &'a BTreeMap<String, Decimal>,
    ) -> Option<Vec<(&'a str, Decimal, Decimal, Decimal)>> {
        if sums.keys().all(|code| *code == self.currency) {
            return None;
        }
        let places = Money::places(&self.currency);
        sums.iter()
            .map(|(code, sum)| {
                let rate = if *code == self.currency {
                    Decimal::whole(1)
                } else {
                    *self.rates.get(code)?
                };
                Some((code.as_str(), *sum, rate, sum.times(rate)?.rounded(places)))
            })
            .collect()
    }

    fn together(&self, sums: &BTreeMap<String, Decimal>) -> Option<Decimal> {
        let mut lines = self.lines(sums)?.into_iter();
        lines.try_fold(Decimal::ZERO, |sum, (.., said)| sum.plus(said))
    }

    /// What stands behind sums that are not all in the currency.
    pub(crate) fn aside(&self, sums: &BTreeMap<String, Decimal>) -> String {
        self.together(sums).map_or_else(String::new, |sum| {
            format!(
                " (together {} {} at the seller’s rates)",
                words::figure(sum, &self.currency),
                self.currency
            )
        })
    }

    /// How the sum of all is made.
    pub(crate) fn table(&self, sums: &BTreeMap<String, Decimal>) -> Option<Block> {
        let currency = &self.currency;
        let mut table = Table::new(
            &format!("In {currency}, at the seller’s rates"),
            &["Currency", "#As written", "#Rate", "#Together"],
        );
        for (code, sum, rate, said) in self.lines(sums)? {
            table.row(
                None,
                vec![
                    code.into(),
                    words::figure(sum, code).into(),
                    rate.to_string().into(),
                    format!("{} {currency}", words::figure(said, currency)).into(),
                ],
            );
        }
        table.total(vec![
            "All".into(),
            "".into(),
            "".into(),
            format!(
                "{} {currency}",
                words::figure(self.together(sums)?, currency)
            )
            .into(),
        ]);
        Some(Block::Table(table))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sums(of: &[(&str, &str)]) -> BTreeMap<String, Decimal> {
        of.iter()
            .map(|(code, sum)| ((*code).to_owned(), sum.parse().unwrap()))
            .collect()
    }

    #[test]
    fn rates_are_read_as_people_write_them() {
        for written in [
            "USD 0.92, GBP 1.15",
            "1 USD = 0,92; 1 GBP = 1,15",
            "USD=0.92 GBP=1.15",
            "GBP: 1.15\nUSD: 0.92",
        ] {
            let read = Exchange::read(" EUR ", written).unwrap().unwrap();
            assert_eq!(
                read.rates(),
                "1 GBP = 1.15 EUR and 1 USD = 0.92 EUR",
                "{written}"
            );
        }
    }

    #[test]
    fn what_is_no_rate_is_refused_by_name() {
        for (currency, rates, says) in [
            ("euro", "", "three capital letters like EUR, found \"euro\""),
            ("EUR", "usd 0.92", "found \"usd\""),
            ("EUR", "USD", "like USD 0.92, found \"USD\""),
            ("EUR", "USD 0", "found \"USD 0\""),
            ("EUR", "USD -2", "found \"USD -2\""),
            ("EUR", "0.92", "found \"0.92\""),
            ("EUR", "USD 1, USD 2", "USD has a rate already"),
            ("EUR", "EUR 1", "EUR has a rate already"),
            ("", "USD 1", "no currency in which sums"),
        ] {
            let error = Exchange::read(currency, rates).unwrap_err().to_string();
            assert!(error.contains(says), "{error}");
        }
    }

    /// Worked by hand: 100.05 × 0.925 = 92.54625, rounded to 92.55; 3,000 yen × 0.0061 = 18.30.
    #[test]
    fn sums_are_said_once_more_and_each_is_rounded_once() {
        let exchange = Exchange::read("EUR", "USD 0.925, JPY 0.0061")
            .unwrap()
            .unwrap();
        let all = sums(&[("EUR", "10.00"), ("JPY", "3000"), ("USD", "100.05")]);
        assert_eq!(
            exchange.aside(&all),
            " (together 120.85 EUR at the seller’s rates)"
        );
        assert_eq!(exchange.aside(&sums(&[("EUR", "10.00")])), "");
        assert_eq!(
            exchange.lacks(&sums(&[("GBP", "1"), ("USD", "1")])),
            ["GBP"]
        );
        assert_eq!(exchange.aside(&sums(&[("GBP", "1.00")])), "");
    }
}
