//! The command as a person or a program meets it: what it prints and how it exits.

mod bad_limits;
mod bad_route;
mod bad_site;
mod damage;
mod example;
mod files;
mod ground;
mod output;
mod support;
