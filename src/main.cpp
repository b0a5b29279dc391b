// No arguments: the window. A command: done without any display.
#include "base/places.hpp"
#include "base/version.hpp"
#include "command/command.hpp"
#include "window/window.hpp"

#include <array>
#include <cstdio>
#include <exception>
#include <span>
#include <string>
#include <string_view>

namespace {

int print_version() {
    const std::string line = "tonebath " + std::string(tonebath::version()) + "\n";
    std::fputs(line.c_str(), stdout);
    return 0;
}

// The window's options, then the commands as their parser lists them.
int print_help() {
    std::fputs("Without a command, tonebath opens its window. Options of the window:\n", stdout);
    std::fwrite(tonebath::window::start_help().data(), 1, tonebath::window::start_help().size(), stdout);
    std::fputs("\n", stdout);
    std::string name = "tonebath";
    std::string help = "--help";
    std::array<char*, 3> words = {name.data(), help.data(), nullptr};
    return tonebath::command::run(2, words.data());
}

int run(int argc, char** argv) {
    const std::span<const char* const> arguments(argv + 1, argv + argc);
    if (tonebath::window::verb_of(arguments)) {
        return tonebath::command::run(argc, argv);
    }
    for (const std::string_view argument : arguments) {
        if (argument == "--version") {
            return print_version();
        }
        if (argument == "--help" || argument == "-h") {
            return print_help();
        }
    }
    const auto options = tonebath::window::parse_start(arguments);
    if (!options) {
        std::fprintf(stderr, "tonebath: %s\n", options.error().text().c_str());
        return 2;
    }
    return tonebath::window::open_window(*options, tonebath::Places::of_program());
}

}  // namespace

int main(int argc, char** argv) {
    try {
        return run(argc, argv);
    } catch (const std::exception& problem) {
        std::fprintf(stderr, "tonebath: %s\n", problem.what());
        return 3;
    }
}
