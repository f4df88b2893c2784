#ifndef RUNDLET_SERVER_PG_TESTING_SCHEMA_LAW_H_
#define RUNDLET_SERVER_PG_TESTING_SCHEMA_LAW_H_

#include <pqxx/pqxx>
#include <string>
#include <vector>

namespace rundlet::server {

// Reads the catalogue and returns every breach of the law of schema rundlet, as a sentence that
// names the object; empty if the law is kept. The law, which lets the database be distributed by
// cellar and keeps cellars apart, is in schema_law.cc, one query for each article.
//
// The only exception is the table schema_migration, which belongs to no cellar.
// Sets the transaction's search_path to pg_catalog. Throws what libpqxx throws.
std::vector<std::string> FindSchemaBreaches(pqxx::transaction_base& work);

// The names of all tables that hold rows of cellars, from the catalogue. Throws as the above.
std::vector<std::string> CellarTables(pqxx::transaction_base& work);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_PG_TESTING_SCHEMA_LAW_H_
