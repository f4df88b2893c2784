#ifndef RUNDLET_CLIENT_STORE_SCHEMA_H_
#define RUNDLET_CLIENT_STORE_SCHEMA_H_

namespace rundlet::client {

// The tables of a device's store. Raise the version with every change, and say in store.cc how to
// come from the one before.
inline constexpr int kSchemaVersion = 2;

inline constexpr char kSchema[] = R"sql(
-- Small facts by name; see MetaKey in store.h.
CREATE TABLE meta (
  name  TEXT PRIMARY KEY,
  value INTEGER NOT NULL
) WITHOUT ROWID;

-- This device, and the end of its own chain of entries.
CREATE TABLE device (
  only        INTEGER PRIMARY KEY CHECK (only = 1),
  cellar_id   BLOB NOT NULL CHECK (length(cellar_id) = 16),
  member_id   BLOB NOT NULL CHECK (length(member_id) = 16),
  device_id   BLOB NOT NULL CHECK (length(device_id) = 16),
  cellar_name TEXT NOT NULL,
  member_name TEXT NOT NULL,
  device_name TEXT NOT NULL,
  role        TEXT NOT NULL,
  server      TEXT NOT NULL,
  chain_seq   INTEGER NOT NULL CHECK (chain_seq >= 0),
  chain_hash  BLOB NOT NULL CHECK (length(chain_hash) = 32),
  -- The highest running number of this device that the server is known to have. No entry may be written while chain_seq
  -- lies below: it would use a number again.
  needed_seq  INTEGER NOT NULL CHECK (needed_seq >= 0)
);

-- The journal as far as it is known here, byte for byte. Each entry is in exactly one state:
--   outbox    written here, not yet taken in by the server
--   recorded  in the server's journal, at `seq`; without one only after the server lost it (restored from a backup)
--   returned  written here, and not taken in as it stands; kept, without effect
CREATE TABLE entry (
  local_no   INTEGER PRIMARY KEY,
  entry_id   BLOB NOT NULL CHECK (length(entry_id) = 16),
  bytes      BLOB NOT NULL,
  hash       BLOB NOT NULL CHECK (length(hash) = 32),
  device_seq INTEGER CHECK (device_seq >= 1),  -- of this device's own
  seq        INTEGER UNIQUE CHECK (seq >= 1),
  state      TEXT NOT NULL CHECK (state IN ('outbox', 'recorded', 'returned')),
  reason     TEXT,
  message    TEXT,
  received_at_us INTEGER,  -- when the server took it in, by its clock
  CHECK (seq IS NULL OR state = 'recorded'),
  CHECK (state = 'recorded' OR device_seq IS NOT NULL),
  CHECK ((state = 'returned') = (reason IS NOT NULL))
);
-- What was returned because its id is taken stands beside the entry that has taken it.
CREATE UNIQUE INDEX entry_by_id ON entry (entry_id) WHERE state <> 'returned';
CREATE UNIQUE INDEX entry_by_device_seq ON entry (device_seq) WHERE device_seq IS NOT NULL AND state <> 'returned';
CREATE INDEX entry_returned ON entry (entry_id) WHERE state = 'returned';
CREATE INDEX entry_outbox ON entry (device_seq) WHERE state = 'outbox';
)sql";

// What came with version 2, beside received_at_us: who signed what. Both are of the journal as it
// was last fetched.
inline constexpr char kSealSchema[] = R"sql(
-- What the devices signed (rundlet.v1.Seal), by the last place of the journal that was new by it.
CREATE TABLE seal (
  last_seq INTEGER PRIMARY KEY,
  bytes    BLOB NOT NULL
);
-- By which key a device signs, from the place of the journal on that says so.
CREATE TABLE device_key (
  device_id  BLOB NOT NULL CHECK (length(device_id) = 16),
  seq        INTEGER NOT NULL,
  public_key BLOB NOT NULL CHECK (length(public_key) = 32),
  PRIMARY KEY (device_id, seq)
) WITHOUT ROWID;
)sql";

}  // namespace rundlet::client

#endif  // RUNDLET_CLIENT_STORE_SCHEMA_H_
