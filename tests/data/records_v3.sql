-- A caseload file of schema version 3, as it was then; never changed again. Invented example.
PRAGMA application_id = 1095783000;
PRAGMA user_version = 3;
CREATE TABLE children (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	code TEXT COLLATE "NOCASE" NOT NULL CHECK (code <> ''), 
	age TEXT DEFAULT '' NOT NULL, 
	age_on TEXT DEFAULT '' NOT NULL, 
	birth_month TEXT DEFAULT '' NOT NULL, 
	languages TEXT DEFAULT '' NOT NULL, 
	accents TEXT DEFAULT '' NOT NULL, 
	note TEXT DEFAULT '' NOT NULL, 
	made TEXT DEFAULT '' NOT NULL
);
CREATE UNIQUE INDEX one_code ON children (code) WHERE trashed = '';
CREATE TABLE profiles (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	child_id INTEGER NOT NULL, 
	number INTEGER NOT NULL CHECK (number > 0), 
	text TEXT DEFAULT '' NOT NULL, 
	date TEXT DEFAULT '' NOT NULL, 
	source TEXT DEFAULT '' NOT NULL, 
	FOREIGN KEY(child_id) REFERENCES children (id) ON DELETE CASCADE
);
CREATE UNIQUE INDEX one_profile_number ON profiles (child_id, number) WHERE trashed = '';
CREATE TABLE samples (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	child_id INTEGER NOT NULL, 
	date TEXT DEFAULT '' NOT NULL, 
	title TEXT DEFAULT '' NOT NULL, 
	file TEXT DEFAULT '' NOT NULL, 
	context TEXT DEFAULT '' NOT NULL, 
	transcriber TEXT DEFAULT '' NOT NULL, 
	note TEXT DEFAULT '' NOT NULL, 
	header TEXT DEFAULT '' NOT NULL, 
	FOREIGN KEY(child_id) REFERENCES children (id) ON DELETE CASCADE
);
CREATE INDEX samples_of_child ON samples (child_id);
CREATE TABLE choices (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	child_id INTEGER NOT NULL, 
	word TEXT DEFAULT '' NOT NULL, 
	ipa TEXT DEFAULT '' NOT NULL, 
	reason TEXT DEFAULT '' NOT NULL, 
	date TEXT DEFAULT '' NOT NULL, 
	rung INTEGER CHECK (rung > 0), 
	rungs INTEGER CHECK (rungs >= rung), 
	chosen_by TEXT DEFAULT 'clinician' NOT NULL, 
	FOREIGN KEY(child_id) REFERENCES children (id) ON DELETE CASCADE
);
CREATE INDEX choices_of_child ON choices (child_id, word);
CREATE TABLE targets (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	child_id INTEGER NOT NULL, 
	word TEXT DEFAULT '' NOT NULL, 
	adult TEXT DEFAULT '' NOT NULL, 
	word_set TEXT DEFAULT '' NOT NULL, 
	state TEXT DEFAULT 'active' NOT NULL, 
	help TEXT DEFAULT '' NOT NULL, 
	since TEXT DEFAULT '' NOT NULL, 
	carrier TEXT DEFAULT '' NOT NULL, 
	FOREIGN KEY(child_id) REFERENCES children (id) ON DELETE CASCADE
);
CREATE UNIQUE INDEX one_target ON targets (child_id, word, adult) WHERE trashed = '';
CREATE TABLE sessions (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	child_id INTEGER NOT NULL, 
	date TEXT DEFAULT '' NOT NULL, 
	number INTEGER NOT NULL CHECK (number > 0), 
	minutes INTEGER CHECK (minutes >= 0), 
	place TEXT DEFAULT '' NOT NULL, 
	note TEXT DEFAULT '' NOT NULL, 
	FOREIGN KEY(child_id) REFERENCES children (id) ON DELETE CASCADE
);
CREATE INDEX days_of_sessions ON sessions (child_id, trashed, date);
CREATE UNIQUE INDEX one_session_number ON sessions (child_id, number) WHERE trashed = '';
CREATE TABLE probes (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	child_id INTEGER NOT NULL, 
	session INTEGER NOT NULL CHECK (session > 0), 
	word_set TEXT DEFAULT '' NOT NULL, 
	treated INTEGER NOT NULL CHECK (treated IN (0, 1)), 
	"right" INTEGER NOT NULL CHECK ("right" >= 0), 
	out_of INTEGER NOT NULL CHECK (out_of > 0 AND out_of >= "right"), 
	date TEXT DEFAULT '' NOT NULL, 
	words TEXT DEFAULT '[]' NOT NULL, 
	note TEXT DEFAULT '' NOT NULL, 
	FOREIGN KEY(child_id) REFERENCES children (id) ON DELETE CASCADE
);
CREATE UNIQUE INDEX one_probe ON probes (child_id, session, word_set) WHERE trashed = '';
CREATE INDEX days_of_probes ON probes (child_id, trashed, date);
CREATE TABLE phases (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	child_id INTEGER NOT NULL, 
	name TEXT DEFAULT '' NOT NULL, 
	first_session INTEGER NOT NULL CHECK (first_session > 0), 
	kind TEXT DEFAULT 'treatment' NOT NULL, 
	word_sets TEXT DEFAULT '[]' NOT NULL, 
	note TEXT DEFAULT '' NOT NULL, 
	FOREIGN KEY(child_id) REFERENCES children (id) ON DELETE CASCADE
);
CREATE UNIQUE INDEX one_phase_start ON phases (child_id, first_session) WHERE trashed = '';
CREATE TABLE goals (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	child_id INTEGER NOT NULL, 
	text TEXT DEFAULT '' NOT NULL, 
	baseline TEXT DEFAULT '' NOT NULL, 
	condition TEXT DEFAULT '' NOT NULL, 
	criterion TEXT DEFAULT '' NOT NULL, 
	measure TEXT DEFAULT '' NOT NULL, 
	due TEXT DEFAULT '' NOT NULL, 
	made TEXT DEFAULT '' NOT NULL, 
	state TEXT DEFAULT 'open' NOT NULL, 
	FOREIGN KEY(child_id) REFERENCES children (id) ON DELETE CASCADE
);
CREATE INDEX goals_of_child ON goals (child_id);
CREATE TABLE sample_rows (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	sample_id INTEGER NOT NULL, 
	"row" INTEGER NOT NULL CHECK (row > 1), 
	cells TEXT DEFAULT '' NOT NULL, 
	read_target TEXT DEFAULT '' NOT NULL, 
	read_produced TEXT DEFAULT '' NOT NULL, 
	kind TEXT DEFAULT '' NOT NULL, 
	FOREIGN KEY(sample_id) REFERENCES samples (id) ON DELETE CASCADE
);
CREATE UNIQUE INDEX rows_of_sample ON sample_rows (sample_id, "row");
CREATE TABLE trials (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	session_id INTEGER NOT NULL, 
	target_id INTEGER NOT NULL, 
	number INTEGER NOT NULL CHECK (number > 0), 
	form TEXT DEFAULT '' NOT NULL, 
	help TEXT DEFAULT '' NOT NULL, 
	result INTEGER NOT NULL CHECK (result BETWEEN 0 AND 2), 
	at TEXT DEFAULT '' NOT NULL, 
	"key" TEXT DEFAULT '' NOT NULL, 
	FOREIGN KEY(session_id) REFERENCES sessions (id) ON DELETE CASCADE, 
	FOREIGN KEY(target_id) REFERENCES targets (id)
);
CREATE UNIQUE INDEX one_key ON trials (session_id, "key", number) WHERE key <> '';
CREATE INDEX trials_of_session ON trials (session_id, trashed, help, result);
CREATE INDEX trials_of_target ON trials (target_id);
CREATE TABLE notes (
	id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, 
	version INTEGER DEFAULT 1 NOT NULL, 
	trashed TEXT DEFAULT '' NOT NULL, 
	child_id INTEGER NOT NULL, 
	session_id INTEGER, 
	date TEXT DEFAULT '' NOT NULL, 
	subjective TEXT DEFAULT '' NOT NULL, 
	objective TEXT DEFAULT '' NOT NULL, 
	assessment TEXT DEFAULT '' NOT NULL, 
	"plan" TEXT DEFAULT '' NOT NULL, 
	FOREIGN KEY(child_id) REFERENCES children (id) ON DELETE CASCADE, 
	FOREIGN KEY(session_id) REFERENCES sessions (id) ON DELETE SET NULL
);
CREATE INDEX notes_of_child ON notes (child_id);
INSERT INTO children (id, version, trashed, code, age, age_on, birth_month, languages, accents, note, made) VALUES (1, 1, '', 'K07', '3;2', '2026-03-01', '', 'en-US', '', '', '2026-03-01');
INSERT INTO profiles (id, version, trashed, child_id, number, text, date, source) VALUES (1, 1, '', 1, 1, 'code = "K07"', '2026-03-01', '');
INSERT INTO choices (id, version, trashed, child_id, word, ipa, reason, date, rung, rungs, chosen_by) VALUES (1, 1, '', 1, 'mud', 'mʌ', 'no final consonant yet', '2026-03-01', NULL, NULL, 'clinician');
INSERT INTO choices (id, version, trashed, child_id, word, ipa, reason, date, rung, rungs, chosen_by) VALUES (2, 1, '', 1, 'mud', 'mʌb', 'closes now', '2026-03-10', NULL, NULL, 'clinician');
INSERT INTO targets (id, version, trashed, child_id, word, adult, word_set, state, help, since, carrier) VALUES (1, 1, '', 1, 'mud', 'mʌd', '', 'active', '', '2026-03-01', '');
INSERT INTO targets (id, version, trashed, child_id, word, adult, word_set, state, help, since, carrier) VALUES (2, 1, '', 1, 'up', 'ʌp', '', 'active', '', '2026-03-01', '');
INSERT INTO sessions (id, version, trashed, child_id, date, number, minutes, place, note) VALUES (1, 1, '', 1, '2026-03-02', 1, NULL, '', '');
INSERT INTO sessions (id, version, trashed, child_id, date, number, minutes, place, note) VALUES (2, 1, '', 1, '2026-03-12', 2, NULL, '', '');
INSERT INTO probes (id, version, trashed, child_id, session, word_set, treated, "right", out_of, date, words, note) VALUES (1, 1, '', 1, 1, 'set 1', 1, 1, 10, '', '[]', '');
INSERT INTO phases (id, version, trashed, child_id, name, first_session, kind, note, word_sets) VALUES (1, 1, '', 1, 'A', 1, 'baseline', '', '[]');
INSERT INTO goals (id, version, trashed, child_id, text, baseline, condition, criterion, measure, due, made, state) VALUES (1, 1, '', 1, 'mud with a closed syllable', '', '', '', '', '', '2026-03-01', 'open');
INSERT INTO trials (id, version, trashed, session_id, target_id, number, form, help, result, at, "key") VALUES (1, 1, '', 1, 1, 1, 'mʌ', 'together', 1, '', 'a');
INSERT INTO trials (id, version, trashed, session_id, target_id, number, form, help, result, at, "key") VALUES (2, 1, '', 1, 2, 2, 'ʌp', 'none', 2, '', '');
INSERT INTO trials (id, version, trashed, session_id, target_id, number, form, help, result, at, "key") VALUES (3, 1, '', 2, 1, 1, 'mʌb', 'none', 2, '', '');
INSERT INTO notes (id, version, trashed, child_id, session_id, date, subjective, objective, assessment, plan) VALUES (1, 1, '', 1, 1, '2026-03-02', 'worked at the sand table', '', '', '');
