#include "window/shell/glfw_window.hpp"

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

#include <algorithm>
#include <cmath>

namespace tonebath::window {
namespace {

DisplayEvents& events_of(GLFWwindow* window) {
    DisplayEvents& events = static_cast<GlfwWindow*>(glfwGetWindowUserPointer(window))->events();
    events.anything = true;
    return events;
}

std::string last_complaint() {
    const char* description = nullptr;
    glfwGetError(&description);
    return description != nullptr ? std::string(" (") + description + ")" : "";
}

Refusal no_display() {
    return Refusal{.code = "display.none",
                   .field = {},
                   .value = {},
                   .message = "There is no display here that a window could open on" + last_complaint() + ".",
                   .remedy = "Everything is also done by commands: see tonebath --help.",
                   .answers = {}};
}

struct Context {
    int major, minor;
    bool core;
    const char* glsl;
};
constexpr Context kContexts[] = {{3, 3, true, "#version 330"}, {3, 0, false, "#version 130"}};

}  // namespace

Result<std::unique_ptr<GlfwWindow>> GlfwWindow::open(const std::string& title, WindowSize size_px, Shown shown,
                                                     const Clock& clock) {
    if (glfwInit() != GLFW_TRUE) {
        return no_display();
    }
    std::unique_ptr<GlfwWindow> made(new GlfwWindow(clock));  // from here on its destructor ends GLFW
    made->title_ = title;
    for (const Context& context : kContexts) {
        glfwDefaultWindowHints();
        glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, context.major);
        glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, context.minor);
        if (context.core) {
            glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
        }
        glfwWindowHint(GLFW_VISIBLE, shown == Shown::yes ? GLFW_TRUE : GLFW_FALSE);
        glfwWindowHintString(GLFW_X11_CLASS_NAME, "tonebath");
        glfwWindowHintString(GLFW_X11_INSTANCE_NAME, "tonebath");
        made->window_ = glfwCreateWindow(size_px.width, size_px.height, title.c_str(), nullptr, nullptr);
        if (made->window_ != nullptr) {
            made->glsl_ = context.glsl;
            break;
        }
    }
    if (made->window_ == nullptr) {
        return Refusal{
            .code = "display.no_opengl",
            .field = {},
            .value = {},
            .message = "This display offers no OpenGL 3.0" + last_complaint() + ", so no window can be drawn.",
            .remedy = "Everything is also done by commands: see tonebath --help.",
            .answers = {}};
    }
    glfwMakeContextCurrent(made->window_);
    glfwSwapInterval(1);
    glfwSetWindowSizeLimits(made->window_, kSmallestWindow.width, kSmallestWindow.height, GLFW_DONT_CARE,
                            GLFW_DONT_CARE);
    made->listen();
    return made;
}

GlfwWindow::~GlfwWindow() {
    if (window_ != nullptr) {
        glfwDestroyWindow(window_);
    }
    glfwTerminate();
}

void GlfwWindow::listen() {
    glfwSetWindowUserPointer(window_, this);
    glfwSetKeyCallback(window_, [](GLFWwindow* window, int code, int scancode, int action, int mods) {
        DisplayEvents& events = events_of(window);
        const auto& self = *static_cast<GlfwWindow*>(glfwGetWindowUserPointer(window));
        if (action == GLFW_RELEASE) {
            events.input.mods(mods_of(mods));
            return;
        }
        const double pressed_s = static_cast<double>(self.clock_.boot().ms) / 1000.0;
        const Key key = key_of({code, glfwGetKeyName(code, scancode)});
        events.input.key(key, mods_of(mods), action == GLFW_REPEAT, pressed_s);
    });
    glfwSetCharCallback(window_,
                        [](GLFWwindow* window, unsigned code_point) { events_of(window).input.typed(code_point); });
    glfwSetMouseButtonCallback(window_, [](GLFWwindow* window, int button, int action, int mods) {
        if (button == GLFW_MOUSE_BUTTON_LEFT || button == GLFW_MOUSE_BUTTON_RIGHT) {
            events_of(window).input.button(action == GLFW_PRESS, button == GLFW_MOUSE_BUTTON_RIGHT, mods_of(mods));
        }
    });
    glfwSetCursorPosCallback(window_, [](GLFWwindow* window, double x, double y) {
        const auto& self = *static_cast<GlfwWindow*>(glfwGetWindowUserPointer(window));
        events_of(window).input.pointer_at(self.in_pixels(x, y));
    });
    glfwSetCursorEnterCallback(window_, [](GLFWwindow* window, int entered) {
        if (entered == GLFW_FALSE) {
            events_of(window).input.pointer_left();
        }
    });
    glfwSetScrollCallback(window_, [](GLFWwindow* window, double /*x*/, double y) {
        events_of(window).input.wheel(static_cast<float>(y));
    });
    glfwSetWindowFocusCallback(window_, [](GLFWwindow* window, int focused) {
        DisplayEvents& events = events_of(window);
        if (focused == GLFW_FALSE) {
            events.input.focus_lost();
        }
    });
    glfwSetWindowRefreshCallback(window_, [](GLFWwindow* window) { events_of(window).uncovered = true; });
    glfwSetFramebufferSizeCallback(
        window_, [](GLFWwindow* window, int /*width*/, int /*height*/) { events_of(window).uncovered = true; });
    glfwSetWindowContentScaleCallback(
        window_, [](GLFWwindow* window, float /*x*/, float /*y*/) { events_of(window).scale_changed = true; });
    glfwSetWindowCloseCallback(window_, [](GLFWwindow* window) { events_of(window).close_asked = true; });
}

Vec2 GlfwWindow::in_pixels(double x, double y) const {
    int width = 0;
    int height = 0;
    glfwGetWindowSize(window_, &width, &height);
    const WindowSize px = drawable_px();
    if (width <= 0 || height <= 0) {
        return {-1, -1};
    }
    return {static_cast<float>(x * px.width / width), static_cast<float>(y * px.height / height)};
}

float GlfwWindow::content_scale() const {
    float x = 1;
    float y = 1;
    glfwGetWindowContentScale(window_, &x, &y);
    return std::isfinite(x) && x > 0 ? std::clamp(x, 0.5F, 4.0F) : 1.0F;
}

WindowSize GlfwWindow::drawable_px() const {
    WindowSize size;
    glfwGetFramebufferSize(window_, &size.width, &size.height);
    return size;
}

WindowSize GlfwWindow::windowed_px() const {
    return full_screen_ ? WindowSize{width_, height_} : drawable_px();
}

void GlfwWindow::set_full_screen(bool on) {
    GLFWmonitor* monitor = glfwGetPrimaryMonitor();
    if (on == full_screen_ || monitor == nullptr) {
        return;
    }
    if (on) {
        glfwGetWindowPos(window_, &x_, &y_);
        glfwGetWindowSize(window_, &width_, &height_);
        const GLFWvidmode* mode = glfwGetVideoMode(monitor);
        glfwSetWindowMonitor(window_, monitor, 0, 0, mode->width, mode->height, mode->refreshRate);
    } else {
        glfwSetWindowMonitor(window_, nullptr, x_, y_, width_, height_, GLFW_DONT_CARE);
    }
    full_screen_ = on;
    events_.anything = events_.uncovered = true;
}

void GlfwWindow::set_title(const std::string& title) {
    if (title != title_) {
        title_ = title;
        glfwSetWindowTitle(window_, title.c_str());
    }
}

void GlfwWindow::swap() {
    glfwSwapBuffers(window_);
}

void GlfwWindow::wait(double seconds) {
    if (seconds <= 0) {
        glfwPollEvents();
    } else {
        glfwWaitEventsTimeout(seconds);
    }
}

double GlfwWindow::seconds() const {
    return glfwGetTime();
}

std::string GlfwWindow::clipboard() const {
    const char* text = glfwGetClipboardString(window_);
    return text != nullptr ? text : "";
}

void GlfwWindow::set_clipboard(const std::string& text) {
    glfwSetClipboardString(window_, text.c_str());
}

void GlfwWindow::wake() {
    glfwPostEmptyEvent();
}

}  // namespace tonebath::window
