-- Cellars, their devices and their journals.
--
-- The law of this schema (server/pg/schema_law_test.cc reads the catalogue and holds every table to it):
--   * cellar_id leads every primary key, unique key and foreign key, so that all rows of a cellar can
--     live on one node and one transaction touches one cellar;
--   * ids are made by clients; there are no sequences, and no default that is not a constant: times and
--     ids on the write path are parameters;
--   * no deferrable or exclusion constraints;
--   * row-level security is on, and forced on the owner too, for every table. A transaction first says
--     for which cellar it works, and sees and writes that cellar's rows only:
--       select set_config('rundlet.cellar_id', $1, true);
--     Without that, every statement fails. COPY into a table with row-level security is refused by
--     PostgreSQL: write many rows with insert ... select ... from unnest(...).

-- The role that the server works as (SET ROLE). It owns nothing and cannot log in. Roles belong to the
-- cluster, so another database may have made it already, or may be making it at this moment.
do $$
begin
  if not exists (select from pg_roles where rolname = 'rundlet_server') then
    create role rundlet_server nologin;
  end if;
exception
  when duplicate_object or unique_violation then null;
end
$$;

-- So that the owner, which the server logs in as, may become it. Superusers may anyway. Since
-- PostgreSQL 16, being a member and being allowed to SET ROLE are two things.
do $$
declare
  needed constant text :=
    case when current_setting('server_version_num')::integer < 160000 then 'member' else 'set' end;
begin
  if not pg_has_role(current_user, 'rundlet_server', needed) then
    execute format('grant rundlet_server to %I', current_user);
  end if;
end
$$;

create schema if not exists rundlet;
grant usage on schema rundlet to rundlet_server;

-- One club or producer.
create table rundlet.cellar (
  cellar_id  uuid        not null,
  name       text        not null check (name <> ''),
  created_at timestamptz not null,
  primary key (cellar_id)
);
comment on table rundlet.cellar is 'One club or producer: the unit of isolation and of ordering.';

-- The only source of order. Every write locks its cellar's row first (select ... for update), hands
-- out journal.seq from size + 1 on, and moves size: a reader that sees size n sees entries 1 to n.
create table rundlet.journal_head (
  cellar_id  uuid        not null,
  size       bigint      not null check (size >= 0),
  updated_at timestamptz not null,
  primary key (cellar_id),
  foreign key (cellar_id) references rundlet.cellar (cellar_id)
);
comment on table rundlet.journal_head is 'How many entries a cellar''s journal has; locked first by every write.';
comment on column rundlet.journal_head.size is 'The seq of the last entry; 0 for an empty journal.';

-- One installation of the client, and the person who uses it.
create table rundlet.device (
  cellar_id    uuid        not null,
  device_id    uuid        not null,
  member_id    uuid        not null,
  member_name  text        not null check (member_name <> ''),
  device_name  text        not null check (device_name <> ''),
  role         text        not null check (role in ('master', 'hand', 'guest')),
  token_sha256 bytea       not null check (octet_length(token_sha256) = 32),
  created_at   timestamptz not null,
  revoked_at   timestamptz check (revoked_at >= created_at),
  primary key (cellar_id, device_id),
  foreign key (cellar_id) references rundlet.cellar (cellar_id)
);
comment on table rundlet.device is 'The devices that may speak for a member of a cellar.';
comment on column rundlet.device.role is 'master: all rights; hand: records; guest: reads.';
comment on column rundlet.device.token_sha256 is
  'SHA-256 of the device''s token. The token names its cellar and device, so it is looked up inside that cellar.';
comment on column rundlet.device.revoked_at is 'From then on the token is refused; null while it is good.';

-- Every entry as its device wrote it. Rows are never changed or removed.
--
-- No foreign keys: PostgreSQL checks them row by row, which took two thirds of the time of writing a
-- batch. Each write holds its cellar's journal_head, which has one, and the device is the one whose
-- token was checked; neither is ever removed.
create table rundlet.journal (
  cellar_id       uuid        not null,
  seq             bigint      not null check (seq >= 1),
  entry_id        uuid        not null,
  device_id       uuid        not null,
  device_seq      bigint      not null check (device_seq >= 1),
  effective_at_us bigint      not null,
  kind            text        not null check (kind <> ''),
  leaf_hash       bytea       not null check (octet_length(leaf_hash) = 32),
  bytes           bytea       not null check (octet_length(bytes) > 0),
  received_at     timestamptz not null,
  primary key (cellar_id, seq),
  unique (cellar_id, entry_id),
  unique (cellar_id, device_id, device_seq)
);
comment on table rundlet.journal is 'All entries of a cellar in the order in which the server took them in; append-only.';
comment on column rundlet.journal.seq is 'Dense from 1 within the cellar.';
comment on column rundlet.journal.device_seq is 'The device''s own running number of its entries, from 1.';
comment on column rundlet.journal.effective_at_us is 'When it happened in the cellar: microseconds since 1970-01-01 UTC.';
comment on column rundlet.journal.leaf_hash is 'SHA-256 of 0x00 and bytes: what RFC 9162 makes the leaf of a Merkle tree.';
comment on column rundlet.journal.bytes is 'The entry exactly as the device wrote it; hashes run over these bytes only.';

-- Rows of the transaction's cellar only, for everybody whom row-level security binds. As a subquery,
-- the setting is read once a statement and not once a row.
alter table rundlet.cellar enable row level security;
alter table rundlet.cellar force row level security;
create policy by_cellar on rundlet.cellar
  using (cellar_id = (select current_setting('rundlet.cellar_id')::uuid));

-- The owner may list the cellars, to do administrative work on one after the other. For a superuser
-- this changes nothing.
create policy owner_lists on rundlet.cellar for select to current_user using (true);

alter table rundlet.journal_head enable row level security;
alter table rundlet.journal_head force row level security;
create policy by_cellar on rundlet.journal_head
  using (cellar_id = (select current_setting('rundlet.cellar_id')::uuid));

alter table rundlet.device enable row level security;
alter table rundlet.device force row level security;
create policy by_cellar on rundlet.device
  using (cellar_id = (select current_setting('rundlet.cellar_id')::uuid));

alter table rundlet.journal enable row level security;
alter table rundlet.journal force row level security;
create policy by_cellar on rundlet.journal
  using (cellar_id = (select current_setting('rundlet.cellar_id')::uuid));

-- Cellars and devices are made by administrative commands, as the owner.
grant select on rundlet.cellar to rundlet_server;
grant select on rundlet.device to rundlet_server;
grant select, insert, update on rundlet.journal_head to rundlet_server;
grant select, insert on rundlet.journal to rundlet_server;
