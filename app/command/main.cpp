// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/command/verbs.h"

#include <iostream>

int main(int argc, char** argv) {
    shimledger::command::Streams streams{std::cout, std::cerr};
    return shimledger::command::runCommand({argv + 1, argv + argc}, streams);
}
