#ifndef RUNDLET_SERVER_MANUAL_H_
#define RUNDLET_SERVER_MANUAL_H_

#include <CLI/App.hpp>
#include <string>

namespace rundlet::server {

// What there is to read about rundletd, from the table of its commands and options.
//
// Options stand before or behind the command; all belong to the program. So the help of a command
// shows, beside its own, those that it heeds.

// Makes --help of the program and of all commands that are added afterwards print that.
void UseManual(CLI::App& program);

// rundletd(8), in the language of man.
std::string PrintManual(const CLI::App& program);

}  // namespace rundlet::server

#endif  // RUNDLET_SERVER_MANUAL_H_
