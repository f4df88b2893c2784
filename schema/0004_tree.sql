-- The Merkle tree over a cellar's journal, in tiles that are written once.

create table rundlet.tree_tile (
  cellar_id  uuid     not null,
  level      smallint not null check (level >= 0),
  place      bigint   not null check (place >= 0),
  hashes     bytea    not null check (octet_length(hashes) = 512),
  root       bytea    not null check (octet_length(root) = 32),
  primary key (cellar_id, level, place)
);
comment on table rundlet.tree_tile is
  'The tree of RFC 9162 over journal.leaf_hash: sixteen hashes of one level, once all sixteen are known. Append-only.';
comment on column rundlet.tree_tile.level is '0: of leaves; 1: of roots of tiles of level 0; and so on.';
comment on column rundlet.tree_tile.place is 'Which tile of its level, from 0.';
comment on column rundlet.tree_tile.root is 'The hash over the sixteen.';

alter table rundlet.tree_tile enable row level security;
alter table rundlet.tree_tile force row level security;
create policy by_cellar on rundlet.tree_tile
  using (cellar_id = (select current_setting('rundlet.cellar_id')::uuid));
grant select, insert on rundlet.tree_tile to rundlet_server;
