#include "window/driver.hpp"

#include "support/raster.hpp"

#include <imgui.h>
#include <catch2/catch.hpp>

#include <map>

namespace tonebath::testing {

namespace {

using namespace tonebath::window;

struct Letters {
    ImFontAtlas atlas;
    FontSet set;
};

// One atlas for each scale and width, built when first asked for.
Letters& letters_for(float scale, Width width) {
    static std::map<std::pair<int, int>, std::unique_ptr<Letters>> built;
    auto& place = built[{static_cast<int>(std::lround(scale * 100)), static_cast<int>(width)}];
    if (!place) {
        place = std::make_unique<Letters>();
        place->set = build_fonts(place->atlas, Driver::look_book().look, scale, width);
        place->atlas.SetTexID(reinterpret_cast<ImTextureID>(1));  // NOLINT: any name that is not null
    }
    return *place;
}

Width width_of(const Screen& screen) {
    const Look& look = Driver::look_book().look;
    const float em = static_cast<float>(screen.width) / look.base_px;
    return em < look.width.narrow ? Width::narrow : em > look.width.wide ? Width::wide : Width::normal;
}

const ProbeWidget* look_up(const Probe& probe, std::string_view name) {
    const ProbeWidget* found = probe.find(name);
    return found != nullptr ? found : probe.find_label(name);
}

}  // namespace

const LookBook& Driver::look_book() {
    static const LookBook book = [] {
        auto loaded = load_look_book(std::filesystem::path(TONEBATH_SOURCE_DIR) / "data" / "themes");
        if (!loaded) {
            FAIL(loaded.error().text());
        }
        return std::move(loaded).value();
    }();
    return book;
}

Driver::Driver(Page page, Screen screen) : page_(std::move(page)), screen_(std::move(screen)) {
    set_theme(screen_.theme);
    Letters& letters = letters_for(screen_.scale, width_of(screen_));
    IMGUI_CHECKVERSION();
    context_ = ImGui::CreateContext(&letters.atlas);
    ImGui::SetCurrentContext(context_);
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.LogFilename = nullptr;
    io.BackendFlags |= ImGuiBackendFlags_RendererHasVtxOffset;
    io.DisplaySize = {static_cast<float>(screen_.width) * screen_.scale,
                      static_cast<float>(screen_.height) * screen_.scale};
    ui_.set_clipboard([this] { return clipboard_; }, [this](const std::string& text) { clipboard_ = text; });
    frames(3);
}

Driver::~Driver() {
    ImGui::DestroyContext(context_);
}

void Driver::set_theme(std::string_view name) {
    const LookBook& book = look_book();
    REQUIRE((name == "slate" || name == "chalk" || name == "contrast"));
    theme_ = name == "slate" ? &book.slate : name == "chalk" ? &book.chalk : &book.contrast;
}

const FontSet& Driver::fonts() const {
    return letters_for(screen_.scale, width_of(screen_)).set;
}

void Driver::frames(int count) {
    ImGui::SetCurrentContext(context_);
    ImGuiIO& io = ImGui::GetIO();
    for (int i = 0; i < count; ++i) {
        io.DeltaTime = 1.0F / 60.0F;
        now_s_ += 1.0 / 60.0;
        ImGui::NewFrame();
        FrameSetup setup;
        setup.screen = {0, 0, io.DisplaySize.x, io.DisplaySize.y};
        setup.scale = screen_.scale;
        setup.now_s = now_s_;
        setup.reduced_motion = screen_.reduced_motion;
        setup.theme = theme_;
        setup.look = &look_book().look;
        setup.fonts = &fonts();
        setup.list = ImGui::GetBackgroundDrawList();
        setup.probe = &probe_;
        InputFrame input;
        std::swap(input, input_);
        input_.pointer = input.pointer;
        ui_.begin_frame(setup, std::move(input));
        page_(ui_);
        ui_.end_frame();
        ImGui::Render();
        vertices_ = ImGui::GetDrawData()->TotalVtxCount;
    }
}

const ProbeWidget& Driver::widget(std::string_view path_or_label) const {
    const ProbeWidget* found = look_up(probe_, path_or_label);
    INFO("looking for " << path_or_label << " among\n" << probe_.dump());
    REQUIRE(found != nullptr);
    return *found;
}

bool Driver::has(std::string_view path_or_label) const {
    return look_up(probe_, path_or_label) != nullptr;
}

void Driver::click(std::string_view path_or_label) {
    const ProbeWidget& target = widget(path_or_label);
    const Rect screen{0, 0, static_cast<float>(screen_.width) * screen_.scale,
                      static_cast<float>(screen_.height) * screen_.scale};
    INFO(path_or_label << " must be on the screen to be clicked");
    REQUIRE(screen.has(target.rect.mid()));
    click_at(target.rect.mid());
}

void Driver::click_at(Vec2 at) {
    move_to(at);
    input_.add_pointer(at, true);
    frames(1);
    input_.add_pointer(at, false);
    frames(2);
}

void Driver::drag(Vec2 from, Vec2 to) {
    move_to(from);
    input_.add_pointer(from, true);
    frames(1);
    for (int step = 1; step <= 4; ++step) {
        move_to(from + (to - from) * (static_cast<float>(step) / 4));
    }
    input_.add_pointer(to, false);
    frames(2);
}

void Driver::feed(InputFrame input) {
    input_ = std::move(input);
    frames(1);
}

void Driver::move_to(Vec2 at) {
    input_.pointer = at;
    frames(1);
}

void Driver::wheel(Vec2 at, float notches) {
    move_to(at);
    input_.wheel = notches;
    frames(2);
}

void Driver::press(Key key, Mods mods) {
    input_.add_key(key, mods, false, now_s_);
    frames(2);
}

void Driver::type(std::string_view text) {
    for (std::size_t at = 0; at < text.size();) {
        const auto lead = static_cast<unsigned char>(text[at]);
        const std::size_t length = lead < 0x80 ? 1 : lead < 0xe0 ? 2 : lead < 0xf0 ? 3 : 4;
        const std::string_view sign = text.substr(at, length);
        const Key key = sign == " "   ? Key::space
                        : sign == "/" ? Key::slash
                        : sign == "?" ? Key::question
                        : length == 1 ? letter_key(sign[0])
                                      : Key::none;
        if (key != Key::none) {
            input_.add_key(key, {.shift = sign[0] >= 'A' && sign[0] <= 'Z'}, false, now_s_);
        }
        input_.add_text(sign);
        frames(1);
        at += length;
    }
    frames(1);
}

std::vector<ProbeFinding> Driver::findings() const {
    return all_findings(
        probe_, screen_.scale,
        {0, 0, static_cast<float>(screen_.width) * screen_.scale, static_cast<float>(screen_.height) * screen_.scale});
}

Image Driver::picture() {
    ImGui::SetCurrentContext(context_);
    frames(1);
    return rasterise(*ImGui::GetDrawData(), letters_for(screen_.scale, width_of(screen_)).atlas,
                     static_cast<int>(std::lround(static_cast<float>(screen_.width) * screen_.scale)),
                     static_cast<int>(std::lround(static_cast<float>(screen_.height) * screen_.scale)));
}

}  // namespace tonebath::testing
