-- What follows from the journal: the folded cellar, for SQL users and reports.
--
-- Every row here is derived. The server writes it in the transaction that takes the entries in, and
-- `rundletd rebuild` makes all of it anew from the journal, so that nothing is lost if it is dropped.
-- Rows are named by the entry that made them (entry_id) and their number within that entry (ordinal,
-- from 0): folding again what did not change writes nothing. For that reason there are no foreign keys.
--
-- Volumes are microlitres (_ul). Other amounts are in the base unit of their dimension: micrograms for
-- mass, microlitres for volume, pieces for count.
--
-- The law of schema 0001 holds here too.

create table rundlet.thing (
  cellar_id  uuid    not null,
  thing_id   uuid    not null,
  kind       text    not null check (kind in
    ('vessel', 'equipment', 'material', 'material_lot', 'bin', 'member', 'lot', 'bottling')),
  name       text    not null,
  retired    boolean not null,
  attributes jsonb   not null check (jsonb_typeof(attributes) = 'object'),
  primary key (cellar_id, thing_id)
);
comment on table rundlet.thing is 'The named things of a cellar, as the latest entries about each say.';
comment on column rundlet.thing.attributes is 'All that was said of it, by the names of the protocol''s fields.';

-- Compositions are kept as arrays of equal length, one element a share: a blend of fifty deliveries is
-- one row. The views below show them row by row.
create table rundlet.parcel (
  cellar_id       uuid       not null,
  entry_id        uuid       not null,
  ordinal         integer    not null check (ordinal >= 0),
  volume_ul       bigint     not null check (volume_ul >= 0),
  origin          text       check (origin <> ''),
  place_id        uuid,
  lot_id          uuid,
  share_entry_ids uuid[]     not null,
  share_ordinals  integer[]  not null,
  share_ul        bigint[]   not null,
  dose_ids        uuid[]     not null,
  dose_dimensions smallint[] not null,
  dose_amounts    bigint[]   not null,
  primary key (cellar_id, entry_id, ordinal),
  check (cardinality(share_ul) = cardinality(share_entry_ids)
     and cardinality(share_ul) = cardinality(share_ordinals)
     and cardinality(dose_amounts) = cardinality(dose_ids)
     and cardinality(dose_amounts) = cardinality(dose_dimensions)
     and 0 < all (share_ul) and 0 < all (dose_amounts))
);
comment on table rundlet.parcel is
  'A quantity of wine with one history, as it was when it arose. Mixing makes a new one; drawing does not.';
comment on column rundlet.parcel.origin is
  'The account that it came from, for a parcel that came from outside; null where wine of the cellar was mixed or filled.';
comment on column rundlet.parcel.place_id is
  'The vessel or bottling that it arose in; of an addition''s volume, the material or material lot.';

create table rundlet.vessel (
  cellar_id       uuid       not null,
  vessel_id       uuid       not null,
  volume_ul       bigint     not null check (volume_ul >= 0),
  parcel_entry_id uuid,
  parcel_ordinal  integer    check (parcel_ordinal >= 0),
  lot_id          uuid,
  since_entry_id  uuid,
  share_entry_ids uuid[]     not null,
  share_ordinals  integer[]  not null,
  share_ul        bigint[]   not null,
  dose_ids        uuid[]     not null,
  dose_dimensions smallint[] not null,
  dose_amounts    bigint[]   not null,
  primary key (cellar_id, vessel_id),
  check ((parcel_entry_id is null) = (parcel_ordinal is null)),
  check (cardinality(share_ul) = cardinality(share_entry_ids)
     and cardinality(share_ul) = cardinality(share_ordinals)
     and cardinality(dose_amounts) = cardinality(dose_ids)
     and cardinality(dose_amounts) = cardinality(dose_dimensions)
     and 0 < all (share_ul) and 0 < all (dose_amounts)
     and (volume_ul > 0 or cardinality(dose_ids) > 0))
);
comment on table rundlet.vessel is 'What each vessel holds now. An empty vessel has no row.';
comment on column rundlet.vessel.since_entry_id is 'The entry that last changed what it holds.';

-- The only thing that changes a quantity.
create table rundlet.movement (
  cellar_id            uuid    not null,
  entry_id             uuid    not null,
  ordinal              integer not null check (ordinal >= 0),
  amount               bigint  not null check (amount > 0),
  commodity            text    not null check (commodity in ('wine', 'material', 'bottles')),
  commodity_id         uuid,
  measure              bigint  not null,
  from_kind            text    not null check (from_kind in ('outside', 'vessel', 'bin', 'stock')),
  from_id              uuid,
  from_account         text,
  from_parcel_entry_id uuid,
  from_parcel_ordinal  integer,
  to_kind              text    not null check (to_kind in ('outside', 'vessel', 'bin', 'stock')),
  to_id                uuid,
  to_account           text,
  to_parcel_entry_id   uuid,
  to_parcel_ordinal    integer,
  primary key (cellar_id, entry_id, ordinal),
  check ((commodity = 'wine') = (commodity_id is null)),
  check ((from_kind = 'outside') = (from_account is not null)
     and (from_kind in ('vessel', 'bin')) = (from_id is not null)
     and (to_kind = 'outside') = (to_account is not null)
     and (to_kind in ('vessel', 'bin')) = (to_id is not null))
);
comment on table rundlet.movement is
  'An amount of one commodity going from one place to another. One row names both ends, so the books balance.';
comment on column rundlet.movement.commodity_id is
  'The material lot (or the material, where no stock is kept of it), or the bottling; null for wine.';
comment on column rundlet.movement.measure is
  'Of a material: its dimension (1 mass, 2 volume, 3 count); of bottles: their nominal size in microlitres.';

create table rundlet.stock (
  cellar_id       uuid     not null,
  material_lot_id uuid     not null,
  dimension       smallint not null check (dimension between 1 and 3),
  amount          bigint   not null check (amount > 0),
  primary key (cellar_id, material_lot_id, dimension)
);
comment on table rundlet.stock is 'What is left of each delivery of a material; no row for what is used up.';

create table rundlet.bin_content (
  cellar_id   uuid   not null,
  bin_id      uuid   not null,
  bottling_id uuid   not null,
  size_ul     bigint not null check (size_ul > 0),
  bottles     bigint not null check (bottles > 0),
  primary key (cellar_id, bin_id, bottling_id, size_ul)
);
comment on table rundlet.bin_content is 'How many bottles of which run and size lie in each bin; no row for none.';

create table rundlet.reading (
  cellar_id       uuid    not null,
  entry_id        uuid    not null,
  ordinal         integer not null check (ordinal >= 0),
  vessel_id       uuid    not null,
  parcel_entry_id uuid,
  parcel_ordinal  integer,
  kind            text    not null check (kind <> ''),
  unit            text    not null check (unit <> ''),
  value_micro     bigint  not null,
  primary key (cellar_id, entry_id, ordinal)
);
comment on table rundlet.reading is 'Measured values, and the parcel that was in the vessel then.';
comment on column rundlet.reading.value_micro is 'Millionths of the unit, as read.';

create table rundlet.treatment (
  cellar_id       uuid    not null,
  entry_id        uuid    not null,
  ordinal         integer not null check (ordinal >= 0),
  vessel_id       uuid    not null,
  parcel_entry_id uuid,
  parcel_ordinal  integer,
  kind            text    not null check (kind <> ''),
  duration_min    bigint  not null check (duration_min >= 0),
  primary key (cellar_id, entry_id, ordinal)
);
comment on table rundlet.treatment is 'What was done to wine without changing a quantity: degassing, stirring, ...';

create table rundlet.observation (
  cellar_id       uuid    not null,
  entry_id        uuid    not null,
  ordinal         integer not null check (ordinal >= 0),
  subject_id      uuid    not null,
  parcel_entry_id uuid,
  parcel_ordinal  integer,
  primary key (cellar_id, entry_id, ordinal)
);
comment on table rundlet.observation is 'Which thing, and which parcel in it, somebody noted something of.';

create table rundlet.count_result (
  cellar_id    uuid    not null,
  entry_id     uuid    not null,
  ordinal      integer not null check (ordinal >= 0),
  subject_id   uuid    not null,
  commodity    text    not null check (commodity in ('material', 'bottles')),
  commodity_id uuid    not null,
  measure      bigint  not null,
  difference   bigint  not null,
  primary key (cellar_id, entry_id, ordinal)
);
comment on table rundlet.count_result is 'By how much a stocktake of a bin or a material lot differed from the book.';
comment on column rundlet.count_result.difference is 'Counted minus book: below zero when something is missing.';

create table rundlet.held (
  cellar_id         uuid   not null,
  entry_id          uuid   not null,
  reason            text   not null check (reason <> ''),
  subject_id        uuid,
  needed            bigint not null,
  there             bigint not null,
  taken_by_entry_id uuid,
  primary key (cellar_id, entry_id)
);
comment on table rundlet.held is
  'Entries that are kept without effect, and why. A row goes when the entry takes effect after all.';
comment on column rundlet.held.needed is 'Microlitres or bottles that the entry needed of the subject.';
comment on column rundlet.held.there is 'Microlitres or bottles that were there at that time.';
comment on column rundlet.held.taken_by_entry_id is 'The entry that last took from it before.';

create table rundlet.entry_standing (
  cellar_id   uuid not null,
  entry_id    uuid not null,
  standing    text not null check (standing in ('void', 'superseded')),
  by_entry_id uuid,
  primary key (cellar_id, entry_id),
  check ((standing = 'void') = (by_entry_id is not null))
);
comment on table rundlet.entry_standing is 'Entries that do not count; all others do.';
comment on column rundlet.entry_standing.by_entry_id is 'The void or amendment that names it.';

-- Compositions row by row. The views read as whoever asks, so that row-level security binds them.
create view rundlet.parcel_share with (security_invoker = true) as
  select p.cellar_id, p.entry_id, p.ordinal, s.origin_entry_id, s.origin_ordinal, s.volume_ul
  from rundlet.parcel p,
    unnest(p.share_entry_ids, p.share_ordinals, p.share_ul) s (origin_entry_id, origin_ordinal, volume_ul);
comment on view rundlet.parcel_share is 'How much of each parcel came from which parcel of outside origin.';

create view rundlet.parcel_dose with (security_invoker = true) as
  select p.cellar_id, p.entry_id, p.ordinal, d.material_id, d.dimension, d.amount
  from rundlet.parcel p,
    unnest(p.dose_ids, p.dose_dimensions, p.dose_amounts) d (material_id, dimension, amount);
comment on view rundlet.parcel_dose is 'How much of which material or material lot was in each parcel when it arose.';

create view rundlet.vessel_share with (security_invoker = true) as
  select v.cellar_id, v.vessel_id, s.origin_entry_id, s.origin_ordinal, s.volume_ul
  from rundlet.vessel v,
    unnest(v.share_entry_ids, v.share_ordinals, v.share_ul) s (origin_entry_id, origin_ordinal, volume_ul);
comment on view rundlet.vessel_share is 'How much of what a vessel holds came from which parcel of outside origin.';

create view rundlet.vessel_dose with (security_invoker = true) as
  select v.cellar_id, v.vessel_id, d.material_id, d.dimension, d.amount
  from rundlet.vessel v,
    unnest(v.dose_ids, v.dose_dimensions, v.dose_amounts) d (material_id, dimension, amount);
comment on view rundlet.vessel_dose is 'How much of which material or material lot is in each vessel.';

-- Rows of the transaction's cellar only. The server may change and remove these rows, as they can be
-- made again.
do $$
declare
  projection text;
begin
  foreach projection in array array[
    'thing', 'parcel', 'vessel', 'movement', 'stock', 'bin_content', 'reading', 'treatment',
    'observation', 'count_result', 'held', 'entry_standing']
  loop
    execute format('alter table rundlet.%I enable row level security', projection);
    execute format('alter table rundlet.%I force row level security', projection);
    execute format('create policy by_cellar on rundlet.%I '
                   'using (cellar_id = (select current_setting(''rundlet.cellar_id'')::uuid))', projection);
    execute format('grant select, insert, update, delete on rundlet.%I to rundlet_server', projection);
  end loop;
end
$$;
grant select on rundlet.parcel_share, rundlet.parcel_dose, rundlet.vessel_share, rundlet.vessel_dose
  to rundlet_server;
