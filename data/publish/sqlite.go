package publish

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"strings"

	_ "modernc.org/sqlite" // the database/sql driver

	"fourmarks.example/data/release"
)

const sqliteFile = "fourmarks.sqlite"

// batch is how many rows go into the database with one statement.
const batch = 16

// sqliteForm writes every table into a SQLite database of strict tables, with a
// full-text search over names and numbers. The file holds no times, and its
// pages come in the order in which rows are added, so it is the same each time.
type sqliteForm struct {
	folder  *Folder
	db      *sql.DB
	tx      *sql.Tx
	tables  []table
	one     []*sql.Stmt // adds a row to a table
	many    []*sql.Stmt // adds a batch of rows
	waiting [][]any     // values of rows that do not yet fill a batch
	search  *sql.Stmt
}

func newSQLite(f *Folder) (Form, error) {
	s := &sqliteForm{folder: f, tables: tables()}
	at, err := f.path(sqliteFile)
	if err != nil {
		return nil, err
	}
	// A release is written anew beside the old one: there is nothing to roll back.
	pragmas := url.Values{"_pragma": {"page_size(8192)", "journal_mode(off)", "synchronous(off)", "locking_mode(exclusive)", "cache_size(-65536)"}}
	if s.db, err = sql.Open("sqlite", (&url.URL{Scheme: "file", OmitHost: true, Path: at, RawQuery: pragmas.Encode()}).String()); err != nil {
		return nil, err
	}
	s.db.SetMaxOpenConns(1)
	if err := s.begin(); err != nil {
		return nil, errors.Join(fmt.Errorf("%s cannot be written: %w", sqliteFile, err), s.db.Close())
	}
	return s, nil
}

func (s *sqliteForm) begin() (err error) {
	if s.tx, err = s.db.BeginTx(context.Background(), nil); err != nil {
		return err
	}
	for _, t := range s.tables {
		if _, err := s.tx.Exec(createTable(t)); err != nil {
			return err
		}
		values := "(" + strings.TrimSuffix(strings.Repeat("?,", len(t.columns)), ",") + ")"
		insert := "INSERT INTO " + quoted(t.name) + " VALUES " + values
		one, err := s.tx.Prepare(insert)
		if err != nil {
			return err
		}
		many, err := s.tx.Prepare(insert + strings.Repeat(","+values, batch-1))
		if err != nil {
			return err
		}
		s.one, s.many = append(s.one, one), append(s.many, many)
	}
	s.waiting = make([][]any, len(s.tables))
	if _, err := s.tx.Exec(`CREATE VIRTUAL TABLE search USING fts5(engine UNINDEXED, variant UNINDEXED, title, names, numbers)`); err != nil {
		return err
	}
	s.search, err = s.tx.Prepare(`INSERT INTO search VALUES (?,?,?,?,?)`)
	return err
}

// createTable is the statement that makes a table.
func createTable(t table) string {
	types := map[kind]string{text: "TEXT", integer: "INTEGER", number: "REAL", truth: "INTEGER"}
	var lines []string
	for _, c := range t.columns {
		line := quoted(c.name) + " " + types[c.kind]
		if c.always {
			line += " NOT NULL"
		}
		if c.kind == truth {
			line += " CHECK (" + quoted(c.name) + " IN (0, 1))"
		}
		lines = append(lines, line)
	}
	lines = append(lines, "PRIMARY KEY "+list(t.key))
	for _, r := range t.references {
		lines = append(lines, "FOREIGN KEY "+list(r.columns)+" REFERENCES "+quoted(r.table)+" "+list(r.there))
	}
	return "CREATE TABLE " + quoted(t.name) + " (\n  " + strings.Join(lines, ",\n  ") + "\n) STRICT, WITHOUT ROWID"
}

func quoted(name string) string { return `"` + name + `"` }

func list(names []string) string {
	all := make([]string, len(names))
	for i, n := range names {
		all[i] = quoted(n)
	}
	return "(" + strings.Join(all, ", ") + ")"
}

// sqlRows are the rows of one engine, and what it is searched by.
type sqlRows struct {
	rows   [][]row
	search []row
}

func (s *sqliteForm) Prepare(p *Prepared) (any, error) {
	e := p.Published
	search := []row{{e.ID, Base, e.Title, strings.Join([]string{e.AlsoCalled, e.Looks, e.Made}, " "), searched(e.Numbers)}}
	for _, v := range e.Variants {
		search = append(search, row{e.ID, v.Name, v.Title, v.Made, searched(v.Numbers)})
	}
	return sqlRows{p.rows, search}, nil
}

func searched(n *release.Numbers) string {
	if n == nil {
		return ""
	}
	return strings.Join([]string{n.From, n.To, n.Found}, " ")
}

func (s *sqliteForm) Add(prepared any) error {
	is := prepared.(sqlRows)
	for i := range s.tables {
		if err := s.insert(i, is.rows[i]); err != nil {
			return err
		}
	}
	for _, r := range is.search {
		if _, err := s.search.Exec(r...); err != nil {
			return err
		}
	}
	return nil
}

// insert adds rows to a table, a batch at a time.
func (s *sqliteForm) insert(table int, rows []row) error {
	for _, r := range rows {
		s.waiting[table] = append(s.waiting[table], r...)
		if len(s.waiting[table]) < batch*len(r) {
			continue
		}
		if _, err := s.many[table].Exec(s.waiting[table]...); err != nil {
			return fmt.Errorf("%s: %s: %w", sqliteFile, s.tables[table].name, err)
		}
		s.waiting[table] = s.waiting[table][:0]
	}
	return nil
}

func (s *sqliteForm) End(w *Whole) error {
	for i, t := range s.tables {
		if err := s.insert(i, w.rows(t)); err != nil {
			return err
		}
		for columns := len(t.columns); len(s.waiting[i]) > 0; s.waiting[i] = s.waiting[i][columns:] {
			if _, err := s.one[i].Exec(s.waiting[i][:columns]...); err != nil {
				return fmt.Errorf("%s: %s: %w", sqliteFile, t.name, err)
			}
		}
	}
	if _, err := s.tx.Exec(`INSERT INTO search (search) VALUES ('optimize')`); err != nil {
		return err
	}
	if err := errors.Join(s.tx.Commit(), s.db.Close()); err != nil {
		return fmt.Errorf("%s cannot be written: %w", sqliteFile, err)
	}
	return s.folder.adopt(sqliteFile)
}

func (s *sqliteForm) Close() error { return s.db.Close() }
