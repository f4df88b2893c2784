-- Vessels are counted as bins and materials are, and bottles stand opened for a while.

alter table rundlet.count_result
  alter column commodity_id drop not null,
  drop constraint count_result_commodity_check,
  add constraint count_result_commodity_check check (commodity in ('wine', 'material', 'bottles')),
  add constraint count_result_subject_of_wine check ((commodity = 'wine') = (commodity_id is null));
comment on table rundlet.count_result is
  'By how much a count of a vessel, a bin or a material lot differed from the book.';

create view rundlet.opened_bottles with (security_invoker = true) as
  select m.cellar_id, m.commodity_id as bottling_id, m.measure as size_ul,
    sum(case when m.to_account = 'opened' then m.amount else -m.amount end) as bottles
  from rundlet.movement m
  where m.commodity = 'bottles' and (m.to_account = 'opened' or m.from_account = 'opened')
  group by m.cellar_id, m.commodity_id, m.measure
  having sum(case when m.to_account = 'opened' then m.amount else -m.amount end) <> 0;
comment on view rundlet.opened_bottles is 'Bottles that were opened and of which nobody has said yet what became of them.';
grant select on rundlet.opened_bottles to rundlet_server;
