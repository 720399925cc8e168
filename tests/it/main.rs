//! Tests that cross crates; read the walkthrough first.

#[cfg(test)]
mod bag;
#[cfg(test)]
mod calendar;
#[cfg(test)]
mod choices;
#[cfg(test)]
mod contract;
#[cfg(test)]
mod cutting;
#[cfg(test)]
mod dossier;
#[cfg(test)]
mod faults;
#[cfg(test)]
mod frame;
#[cfg(test)]
mod home;
#[cfg(test)]
mod odd;
#[cfg(test)]
mod outside;
#[cfg(test)]
mod paper;
#[cfg(test)]
mod photo;
#[cfg(test)]
mod plan;
#[cfg(test)]
mod reckon;
#[cfg(test)]
mod same;
#[cfg(test)]
mod signed;
#[cfg(test)]
mod tidy;
#[cfg(test)]
mod tool;
#[cfg(test)]
mod walkthrough;
