#include "progress_line.hpp"

#include <chrono>
#include <condition_variable>
#include <cstdio>
#include <iostream>
#include <mutex>
#include <string>
#include <thread>
#include <unistd.h>

namespace trenchwright {

namespace {

constexpr auto silent_for = std::chrono::seconds(1);
constexpr auto between = std::chrono::milliseconds(250);

} // namespace

struct ProgressLine::State {
    std::mutex mutex;
    std::condition_variable ended;
    bool end = false;
    bool drawn = false;
    std::string text;
    std::thread thread;

    void draw()
    {
        std::cerr << "\r\033[K" << text << std::flush; // to the line's start, and wipe what stands there
        drawn = !text.empty();
    }
    void run()
    {
        std::unique_lock lock(mutex);
        auto wait = std::chrono::milliseconds(silent_for);
        while (!ended.wait_for(lock, wait, [this] { return end; })) {
            draw();
            wait = between;
        }
        text.clear();
        if (drawn) {
            draw();
        }
    }
};

ProgressLine::ProgressLine(bool quiet) : state_(std::make_unique<State>())
{
    if (!quiet && isatty(STDERR_FILENO) != 0) {
        state_->thread = std::thread([state = state_.get()] { state->run(); });
    }
}

ProgressLine::~ProgressLine()
{
    end();
}

void ProgressLine::end()
{
    if (state_->thread.joinable()) {
        {
            const std::lock_guard lock(state_->mutex);
            state_->end = true;
        }
        state_->ended.notify_all();
        state_->thread.join();
    }
}

Progress ProgressLine::progress()
{
    return [state = state_.get()](std::string_view step, std::size_t done, std::size_t of) {
        const std::lock_guard lock(state->mutex);
        state->text = std::string(step);
        if (of > 0) {
            state->text += ": " + std::to_string(done) + " of " + std::to_string(of);
        }
    };
}

} // namespace trenchwright
