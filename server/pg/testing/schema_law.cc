#include "server/pg/testing/schema_law.h"

#include <algorithm>

#include "absl/strings/str_cat.h"
#include "absl/strings/string_view.h"

namespace rundlet::server {
namespace {

// One article: what is wrong with each object that the query finds. The queries may use the common
// table expressions of kTables.
struct Article {
  absl::string_view breach;
  absl::string_view query;
};

constexpr absl::string_view kTables = R"sql(
with every_table as (
  select c.oid, c.relname, c.relkind, c.relrowsecurity, c.relforcerowsecurity
  from pg_class c
  where c.relnamespace = 'rundlet'::regnamespace and c.relkind in ('r', 'p', 'f')
), cellar_table as (
  select * from every_table where relname <> 'schema_migration'
), column_of as (
  select a.attrelid, a.attnum, a.attname, a.atttypid, a.attnotnull, a.attidentity
  from pg_attribute a where a.attnum > 0 and not a.attisdropped
)
)sql";

constexpr Article kLaw[] = {
    {"has no column cellar_id of type uuid, not null",
     R"sql(select t.relname from cellar_table t where not exists (
             select from column_of a where a.attrelid = t.oid and a.attname = 'cellar_id'
               and a.atttypid = 'uuid'::regtype and a.attnotnull))sql"},
    {"has no primary key",
     R"sql(select t.relname from every_table t where not exists (
             select from pg_constraint k where k.conrelid = t.oid and k.contype = 'p'))sql"},
    // Unique indexes include those behind primary keys and unique constraints.
    {"is a unique key that cellar_id does not lead",
     R"sql(select i.indexrelid::regclass from pg_index i join cellar_table t on t.oid = i.indrelid
           where i.indisunique and not exists (
             select from column_of a where a.attrelid = t.oid and a.attnum = i.indkey[0]
               and a.attname = 'cellar_id'))sql"},
    {"is a foreign key that cellar_id does not lead on both sides",
     R"sql(select k.conrelid::regclass || '.' || k.conname from pg_constraint k
           join every_table t on t.oid = k.conrelid
           where k.contype = 'f' and not exists (
             select from column_of a join column_of b
                 on b.attrelid = k.confrelid and b.attnum = k.confkey[1]
             where a.attrelid = k.conrelid and a.attnum = k.conkey[1]
               and a.attname = 'cellar_id' and b.attname = 'cellar_id'))sql"},
    {"is a sequence",
     R"sql(select c.relname from pg_class c
           where c.relnamespace = 'rundlet'::regnamespace and c.relkind = 'S')sql"},
    {"is an identity column",
     R"sql(select t.relname || '.' || a.attname from every_table t
           join column_of a on a.attrelid = t.oid where a.attidentity <> '')sql"},
    {"is a deferrable constraint",
     R"sql(select t.relname || '.' || k.conname from every_table t
           join pg_constraint k on k.conrelid = t.oid where k.condeferrable)sql"},
    {"is an exclusion constraint",
     R"sql(select t.relname || '.' || k.conname from every_table t
           join pg_constraint k on k.conrelid = t.oid where k.contype = 'x')sql"},
    // The stored expression tree names each function by its oid; current_timestamp and the like are
    // nodes of their own, and a conversion by text (COERCEVIAIO) may read settings or the clock.
    {"has a default that is not a constant",
     R"sql(select t.relname || '.' || a.attname from every_table t
           join pg_attrdef d on d.adrelid = t.oid
           join column_of a on a.attrelid = t.oid and a.attnum = d.adnum
           where d.adbin::text ~ '\{(SQLVALUEFUNCTION|NEXTVALUEEXPR|COERCEVIAIO)'
              or exists (
             select from regexp_matches(d.adbin::text, ':(?:op)?funcid (\d+)', 'g') f
             join pg_proc p on p.oid = f[1]::oid where p.provolatile <> 'i'))sql"},
    {"lacks row-level security, or it is not forced on the owner",
     R"sql(select t.relname from cellar_table t
           where not (t.relrowsecurity and t.relforcerowsecurity))sql"},
    {"has no policy for rundlet_server",
     R"sql(select t.relname from cellar_table t where not exists (
             select from pg_policy y where y.polrelid = t.oid and y.polpermissive
               and (y.polroles = '{0}' or 'rundlet_server'::regrole = any (y.polroles))))sql"},
    // Permissive policies are joined by OR: one that is wider opens the table.
    {"is a policy that shows rundlet_server more than the transaction's cellar",
     R"sql(select t.relname || '.' || y.polname from cellar_table t
           join pg_policy y on y.polrelid = t.oid
           where y.polpermissive
             and exists (select from unnest(y.polroles) r
                         where r = 0 or pg_has_role('rundlet_server', r, 'usage'))
             and exists (
               select from (values (pg_get_expr(y.polqual, y.polrelid)),
                                   (pg_get_expr(y.polwithcheck, y.polrelid))) e (condition)
               where e.condition <>
                 '(cellar_id = ( SELECT (current_setting(''rundlet.cellar_id''::text))::uuid AS current_setting))'))sql"},
    // A view reads as its owner unless told otherwise, and the owner may be a superuser.
    {"is a view without security_invoker, or a materialized view",
     R"sql(select c.relname from pg_class c
           where c.relnamespace = 'rundlet'::regnamespace
             and (c.relkind = 'm' or (c.relkind = 'v'
               and coalesce(not c.reloptions && '{security_invoker=true,security_invoker=on}', true))))sql"},
    {"is a security definer function",
     R"sql(select p.oid::regprocedure from pg_proc p
           where p.pronamespace = 'rundlet'::regnamespace and p.prosecdef)sql"},
    {"is owned by rundlet_server",
     R"sql(select pg_describe_object(d.classid, d.objid, d.objsubid) from pg_shdepend d
           where d.refclassid = 'pg_authid'::regclass and d.refobjid = 'rundlet_server'::regrole
             and d.deptype = 'o'
             and d.dbid in (0, (select oid from pg_database where datname = current_database())))sql"},
    {"is a role that can log in, bypass row-level security, or make roles or databases",
     R"sql(select rolname from pg_roles where rolname = 'rundlet_server'
             and (rolsuper or rolcanlogin or rolbypassrls or rolcreaterole or rolcreatedb
                  or rolreplication))sql"},
    {"is a role that rundlet_server is a member of",
     R"sql(select m.roleid::regrole from pg_auth_members m
           where m.member = 'rundlet_server'::regrole)sql"},
    {"lets rundlet_server make objects in it",
     R"sql(select nspname from pg_namespace where nspname = 'rundlet'
             and has_schema_privilege('rundlet_server', oid, 'create'))sql"},
    {"lets rundlet_server truncate it, refer to it or put triggers on it",
     R"sql(select t.relname from every_table t
           where has_table_privilege('rundlet_server', t.oid, 'truncate, references, trigger'))sql"},
    {"lets rundlet_server update or delete its rows",
     R"sql(select t.relname from every_table t
           where t.relname in ('journal', 'seal', 'tree_tile', 'schema_migration')
             and (has_any_column_privilege('rundlet_server', t.oid, 'update')
                  or has_table_privilege('rundlet_server', t.oid, 'update, delete')))sql"},
};

}  // namespace

std::vector<std::string> FindSchemaBreaches(pqxx::transaction_base& work) {
  // So that names are written with their schema, whatever the path was.
  work.exec("set local search_path = pg_catalog");
  std::vector<std::string> breaches;
  for (const Article& article : kLaw) {
    for (const pqxx::row& row : work.exec(absl::StrCat(kTables, article.query))) {
      breaches.push_back(absl::StrCat(row[0].c_str(), " ", article.breach));
    }
  }
  std::sort(breaches.begin(), breaches.end());
  return breaches;
}

std::vector<std::string> CellarTables(pqxx::transaction_base& work) {
  std::vector<std::string> tables;
  for (const pqxx::row& row :
       work.exec(absl::StrCat(kTables, "select relname from cellar_table order by relname")))
    tables.emplace_back(row[0].c_str());
  return tables;
}

}  // namespace rundlet::server
