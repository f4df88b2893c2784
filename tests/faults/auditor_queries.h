#ifndef RUNDLET_TESTS_FAULTS_AUDITOR_QUERIES_H_
#define RUNDLET_TESTS_FAULTS_AUDITOR_QUERIES_H_

// What the auditor asks the database. Each query gives a row for each thing that is wrong.
namespace rundlet::testing {

// I1: what the movements add up to, against the tables that say what is where. Materials that are
// in a vessel are a part of its wine and counted with it, so that only stock is told of them.
inline constexpr char kUnexplainedBalances[] = R"sql(
with leg as (
  select cellar_id, commodity, commodity_id, measure, to_kind as kind, to_id as id, amount
  from rundlet.movement
  union all
  select cellar_id, commodity, commodity_id, measure, from_kind, from_id, -amount
  from rundlet.movement
), moved as (
  select cellar_id, commodity, commodity_id, case commodity when 'wine' then 0 else measure end as measure,
    kind, id, sum(amount) as amount
  from leg
  where (commodity, kind) in (('wine', 'vessel'), ('bottles', 'bin'), ('material', 'stock'))
  group by 1, 2, 3, 4, 5, 6
  having sum(amount) <> 0
), book as (
  select cellar_id, 'wine' as commodity, null::uuid as commodity_id, 0::bigint as measure,
    'vessel' as kind, vessel_id as id, volume_ul as amount
  from rundlet.vessel where volume_ul <> 0
  union all
  select cellar_id, 'bottles', bottling_id, size_ul, 'bin', bin_id, bottles from rundlet.bin_content
  union all
  select cellar_id, 'material', material_lot_id, dimension, 'stock', null, amount from rundlet.stock
)
select format('%s %s %s in %s %s: moved %s, in the book %s', cellar_id, commodity, commodity_id, kind,
  id, moved.amount, book.amount)
from (select cellar_id, commodity, coalesce(commodity_id, cellar_id) as of_what, measure, kind,
        coalesce(id, cellar_id) as where_at, commodity_id, id, amount from moved) moved
full join (select cellar_id, commodity, coalesce(commodity_id, cellar_id) as of_what, measure, kind,
        coalesce(id, cellar_id) as where_at, amount from book) book
  using (cellar_id, commodity, of_what, measure, kind, where_at)
where moved.amount is distinct from book.amount or moved.amount < 0
)sql";

// I1: a commodity neither arises nor goes but by the outside world.
inline constexpr char kUnbalancedBooks[] = R"sql(
with leg as (
  select cellar_id, commodity, commodity_id, to_kind as kind, amount from rundlet.movement
  union all
  select cellar_id, commodity, commodity_id, from_kind, -amount from rundlet.movement
)
select format('%s %s %s does not balance by %s', cellar_id, commodity, commodity_id, sum(amount))
from leg group by cellar_id, commodity, commodity_id having sum(amount) <> 0
)sql";

// I2: numbers are dense from 1 to the head's.
inline constexpr char kGapsInJournals[] = R"sql(
select format('cellar %s has %s entries, from %s to %s, and its head says %s', h.cellar_id,
  count(j.seq), min(j.seq), max(j.seq), h.size)
from rundlet.journal_head h left join rundlet.journal j using (cellar_id)
group by h.cellar_id, h.size
having count(j.seq) <> h.size or coalesce(min(j.seq), 1) <> 1 or coalesce(max(j.seq), 0) <> h.size
)sql";

// I2: each device's numbers come in the journal once, and each entry's hash is that of its bytes.
inline constexpr char kWrongHashes[] = R"sql(
select format('entry %s at %s has not the hash of its bytes', entry_id, seq)
from rundlet.journal where leaf_hash <> sha256('\x00'::bytea || bytes)
)sql";

// I6: as the server's role, working for one cellar ($1), a row of another in any table.
inline constexpr char kRowsOfOthers[] = R"sql(
set role rundlet_server;
do $$
declare
  one record;
  others bigint;
begin
  perform set_config('rundlet.cellar_id', '%1$s', false);
  for one in
    select c.oid::regclass as name from pg_class c join pg_attribute a on a.attrelid = c.oid
    where c.relnamespace = 'rundlet'::regnamespace and c.relkind in ('r', 'p', 'v')
      and a.attname = 'cellar_id' and not a.attisdropped
      and has_table_privilege(c.oid, 'select')
  loop
    execute format('select count(*) from %%s where cellar_id <> %%L', one.name, '%1$s') into others;
    if others > 0 then
      raise exception '%% rows of other cellars in %%', others, one.name;
    end if;
  end loop;
end $$;
)sql";

}  // namespace rundlet::testing

#endif  // RUNDLET_TESTS_FAULTS_AUDITOR_QUERIES_H_
