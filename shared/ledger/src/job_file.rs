//! The job file: a zip that carries a job to another device, and that people can read without this program.
