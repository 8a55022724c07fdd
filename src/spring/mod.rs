//! Springs: force, stress and life of helical springs, and what else pulls a control back.
