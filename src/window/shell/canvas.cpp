#include "window/shell/canvas.hpp"

#include "base/check.hpp"

#define GL_GLEXT_PROTOTYPES 0
#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

#include <GL/gl.h>
#include <GL/glext.h>
#include <imgui.h>
#include <imgui_impl_opengl3.h>
#include <stb/stb_image_write.h>

#include <algorithm>
#include <cstring>
#include <stdexcept>

namespace tonebath::window {
namespace {

// FNV-1a, eight bytes a step: told apart are a picture and the next one, nothing more.
std::uint64_t mixed(std::uint64_t hash, const void* data, std::size_t bytes) {
    constexpr std::uint64_t kPrime = 1099511628211ULL;
    const char* at = static_cast<const char*>(data);
    for (; bytes >= sizeof(std::uint64_t); bytes -= sizeof(std::uint64_t), at += sizeof(std::uint64_t)) {
        std::uint64_t word = 0;
        std::memcpy(&word, at, sizeof word);
        hash = (hash ^ word) * kPrime;
        hash ^= hash >> 29U;
    }
    for (; bytes > 0; --bytes, ++at) {
        hash = (hash ^ static_cast<unsigned char>(*at)) * kPrime;
    }
    return hash;
}

void draw(int width, int height) {
    glViewport(0, 0, width, height);
    glClearColor(0, 0, 0, 1);
    glClear(GL_COLOR_BUFFER_BIT);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
}

template <class Function>
Function gl_function(const char* name) {
    const GLFWglproc found = glfwGetProcAddress(name);
    if (found == nullptr) {
        throw std::runtime_error(std::string("This display's OpenGL has no ") + name + ", so no picture can be taken.");
    }
    return reinterpret_cast<Function>(found);
}

void append_png(void* context, void* data, int size) {
    static_cast<std::string*>(context)->append(static_cast<const char*>(data), static_cast<std::size_t>(size));
}

}  // namespace

Picture part_of(const Picture& picture, const Rect& place) {
    const int x0 = std::clamp(static_cast<int>(place.x0), 0, picture.width);
    const int y0 = std::clamp(static_cast<int>(place.y0), 0, picture.height);
    const int x1 = std::clamp(static_cast<int>(place.x1), x0, picture.width);
    const int y1 = std::clamp(static_cast<int>(place.y1), y0, picture.height);
    Picture part{.width = x1 - x0, .height = y1 - y0, .rgb = {}};
    for (int y = y0; y < y1; ++y) {
        const auto row = picture.rgb.begin() + (static_cast<std::ptrdiff_t>(y) * picture.width + x0) * 3;
        part.rgb.insert(part.rgb.end(), row, row + static_cast<std::ptrdiff_t>(part.width) * 3);
    }
    return part;
}

std::string png_of(const Picture& picture) {
    std::string png;
    const int done = stbi_write_png_to_func(append_png, &png, picture.width, picture.height, 3, picture.rgb.data(),
                                            picture.width * 3);
    TB_CHECK(done != 0);
    return png;
}

Canvas::Canvas(const char* glsl) {
    IMGUI_CHECKVERSION();
    context_ = ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.LogFilename = nullptr;
    if (!ImGui_ImplOpenGL3_Init(glsl)) {
        ImGui::DestroyContext(context_);
        throw std::runtime_error("OpenGL could not be set up.");
    }
}

Canvas::~Canvas() {
    ImGui_ImplOpenGL3_Shutdown();
    ImGui::DestroyContext(context_);
}

ImFontAtlas& Canvas::atlas() {
    return *ImGui::GetIO().Fonts;
}

void Canvas::atlas_changed() {
    if (!has_objects_) {
        // Makes the letters' texture as well. Left to the first frame, it would find the pixels below gone and build
        // the atlas anew, with every letter in another place than the fonts believe.
        has_objects_ = ImGui_ImplOpenGL3_CreateDeviceObjects();
    } else {
        ImGui_ImplOpenGL3_DestroyFontsTexture();
        ImGui_ImplOpenGL3_CreateFontsTexture();
    }
    ImGui::GetIO().Fonts->ClearTexData();
    shown_ = 0;
}

ImDrawList* Canvas::begin(int width_px, int height_px, float dt_s) {
    width_ = width_px;
    height_ = height_px;
    ImGuiIO& io = ImGui::GetIO();
    io.DisplaySize = ImVec2(static_cast<float>(width_px), static_cast<float>(height_px));
    io.DeltaTime = dt_s;
    ImGui_ImplOpenGL3_NewFrame();
    ImGui::NewFrame();
    return ImGui::GetBackgroundDrawList();
}

bool Canvas::end() {
    ImGui::Render();
    const std::uint64_t now = hash();
    const bool changed = now != shown_;
    shown_ = now;
    return changed;
}

std::uint64_t Canvas::hash() const {
    const ImDrawData& data = *ImGui::GetDrawData();
    std::uint64_t hash = 14695981039346656037ULL;
    hash = mixed(hash, &width_, sizeof width_);
    hash = mixed(hash, &height_, sizeof height_);
    for (int i = 0; i < data.CmdListsCount; ++i) {
        const ImDrawList& list = *data.CmdLists[i];
        hash = mixed(hash, list.VtxBuffer.Data, static_cast<std::size_t>(list.VtxBuffer.size_in_bytes()));
        hash = mixed(hash, list.IdxBuffer.Data, static_cast<std::size_t>(list.IdxBuffer.size_in_bytes()));
        for (const ImDrawCmd& command : list.CmdBuffer) {
            hash = mixed(hash, &command.ClipRect, sizeof command.ClipRect);
            hash = mixed(hash, &command.ElemCount, sizeof command.ElemCount);
        }
    }
    return hash;
}

void Canvas::show() const {
    draw(width_, height_);
}

Picture Canvas::picture() const {
    const auto gen_framebuffers = gl_function<PFNGLGENFRAMEBUFFERSPROC>("glGenFramebuffers");
    const auto bind_framebuffer = gl_function<PFNGLBINDFRAMEBUFFERPROC>("glBindFramebuffer");
    const auto delete_framebuffers = gl_function<PFNGLDELETEFRAMEBUFFERSPROC>("glDeleteFramebuffers");
    const auto attach = gl_function<PFNGLFRAMEBUFFERRENDERBUFFERPROC>("glFramebufferRenderbuffer");
    const auto status = gl_function<PFNGLCHECKFRAMEBUFFERSTATUSPROC>("glCheckFramebufferStatus");
    const auto gen_renderbuffers = gl_function<PFNGLGENRENDERBUFFERSPROC>("glGenRenderbuffers");
    const auto bind_renderbuffer = gl_function<PFNGLBINDRENDERBUFFERPROC>("glBindRenderbuffer");
    const auto storage = gl_function<PFNGLRENDERBUFFERSTORAGEPROC>("glRenderbufferStorage");
    const auto delete_renderbuffers = gl_function<PFNGLDELETERENDERBUFFERSPROC>("glDeleteRenderbuffers");

    GLuint frame = 0;
    GLuint colour = 0;
    gen_framebuffers(1, &frame);
    gen_renderbuffers(1, &colour);
    bind_framebuffer(GL_FRAMEBUFFER, frame);
    bind_renderbuffer(GL_RENDERBUFFER, colour);
    storage(GL_RENDERBUFFER, GL_RGBA8, width_, height_);
    attach(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, colour);

    Picture picture{width_, height_, {}};
    const bool complete = status(GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE;
    if (complete) {
        draw(width_, height_);
        const std::size_t row = static_cast<std::size_t>(width_) * 3;
        std::vector<std::uint8_t> upside_down(row * static_cast<std::size_t>(height_));
        glPixelStorei(GL_PACK_ALIGNMENT, 1);
        glReadPixels(0, 0, width_, height_, GL_RGB, GL_UNSIGNED_BYTE, upside_down.data());
        picture.rgb.resize(upside_down.size());
        for (std::size_t y = 0; y < static_cast<std::size_t>(height_); ++y) {
            std::memcpy(picture.rgb.data() + y * row,
                        upside_down.data() + (static_cast<std::size_t>(height_) - 1 - y) * row, row);
        }
    }
    bind_framebuffer(GL_FRAMEBUFFER, 0);
    delete_renderbuffers(1, &colour);
    delete_framebuffers(1, &frame);
    if (!complete) {
        throw std::runtime_error("OpenGL cannot draw a picture of this size; try a smaller --size or --scale.");
    }
    return picture;
}

}  // namespace tonebath::window
