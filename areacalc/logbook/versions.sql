-- What makes each version of the logbook's file out of the one before. One that has gone out is never changed.

-- version 1
CREATE TABLE run (
    number INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, "when" TEXT NOT NULL, ended TEXT, load TEXT NOT NULL,
    area_mm2 REAL NOT NULL, current_a REAL NOT NULL, density_a_per_dm2 REAL NOT NULL, run_s REAL NOT NULL,
    film_um REAL NOT NULL, acid_g_per_l REAL NOT NULL, aluminium_g_per_l REAL NOT NULL,
    temperature_c REAL NOT NULL, supply_v REAL, alloy TEXT, surface TEXT NOT NULL, shade TEXT, dye TEXT, dye_s REAL,
    seal TEXT, seal_s REAL, etch_s REAL, start_v REAL, end_v REAL, end_temperature_c REAL, remark TEXT NOT NULL,
    parts TEXT NOT NULL, settings TEXT NOT NULL);
CREATE TABLE reading (
    number INTEGER PRIMARY KEY, run INTEGER NOT NULL REFERENCES run, at_s REAL NOT NULL, volts_v REAL,
    current_a REAL, temperature_c REAL, remark TEXT NOT NULL, UNIQUE (run, at_s));
CREATE TABLE outcome (
    number INTEGER PRIMARY KEY, run INTEGER NOT NULL REFERENCES run, film_um REAL, place TEXT NOT NULL,
    how TEXT NOT NULL, colour TEXT NOT NULL, fault TEXT NOT NULL, photo TEXT NOT NULL, remark TEXT NOT NULL);
CREATE TABLE history (
    number INTEGER PRIMARY KEY, kind TEXT NOT NULL, of INTEGER NOT NULL, at TEXT NOT NULL, was TEXT NOT NULL);
CREATE INDEX reading_run ON reading (run);
CREATE INDEX outcome_run ON outcome (run);

-- version 2
ALTER TABLE run ADD COLUMN bath TEXT;
ALTER TABLE run ADD COLUMN tank TEXT;
CREATE TABLE vessel (
    number INTEGER PRIMARY KEY, kind TEXT NOT NULL, name TEXT NOT NULL COLLATE NOCASE, settings TEXT NOT NULL,
    UNIQUE (kind, name));
CREATE TABLE event (
    number INTEGER PRIMARY KEY, vessel INTEGER NOT NULL REFERENCES vessel, "when" TEXT NOT NULL,
    what TEXT NOT NULL, acid_g_per_l REAL, aluminium_g_per_l REAL, volume_l REAL, remark TEXT NOT NULL);
CREATE INDEX event_vessel ON event (vessel);

-- version 3
ALTER TABLE run ADD COLUMN bath_l REAL;

-- version 4
CREATE TABLE begun (
    number INTEGER PRIMARY KEY, run INTEGER NOT NULL REFERENCES run, at_s REAL NOT NULL, step TEXT NOT NULL,
    UNIQUE (run, step));

-- version 5
ALTER TABLE run ADD COLUMN text TEXT NOT NULL DEFAULT '';
ALTER TABLE run ADD COLUMN folder TEXT NOT NULL DEFAULT '';

-- version 6
ALTER TABLE run ADD COLUMN supply_a REAL;
ALTER TABLE run ADD COLUMN ramp_s REAL;
ALTER TABLE run ADD COLUMN planned_ah REAL;

-- version 7
ALTER TABLE vessel ADD COLUMN volume_l REAL;

-- version 8
ALTER TABLE run ADD COLUMN course TEXT NOT NULL DEFAULT '[]';
ALTER TABLE run ADD COLUMN asked_um REAL;
ALTER TABLE run ADD COLUMN certainty REAL;
ALTER TABLE run ADD COLUMN struck TEXT NOT NULL DEFAULT '';
ALTER TABLE outcome ADD COLUMN judged TEXT NOT NULL DEFAULT '';
