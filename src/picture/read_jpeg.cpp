#include "picture/ended.hpp"

#include <cstddef>
#include <cstdio>  // jpeglib.h needs it
#include <jerror.h>
#include <jpeglib.h>

#include <algorithm>
#include <csetjmp>
#include <cstring>
#include <memory>
#include <utility>

namespace tonebath::picture {

namespace {

// A file may name hundreds of passes over the whole picture; cameras write up to about 10.
constexpr int kMostPasses = 100;
constexpr long kMostMemory_bytes = 500'000'000;
constexpr int kExifMarker = JPEG_APP0 + 1, kIccMarker = JPEG_APP0 + 2;
constexpr std::string_view kExifHead{"Exif\0\0", 6};
constexpr std::string_view kXmpHead{"http://ns.adobe.com/xap/1.0/\0", 29};
constexpr std::string_view kIccHead{"ICC_PROFILE\0", 12};

// All that the library jumps over lives here, so that no destructor is passed by.
struct Work {
    jpeg_decompress_struct file{};
    jpeg_error_mgr faults{};
    jpeg_progress_mgr progress{};
    std::jmp_buf back{};
    char words[JMSG_LENGTH_MAX] = {};
    const Source* source = nullptr;
    Raw raw;
    std::optional<Refusal> refusal;
    bool by_hand = false;  // stopped from outside
};

Work& work_of(j_common_ptr file) {
    return *static_cast<Work*>(file->client_data);
}

[[noreturn]] void give_up(j_common_ptr file) {
    Work& work = work_of(file);
    (*file->err->format_message)(file, work.words);
    std::longjmp(work.back, 1);
}

// Damage that the library would paint over in grey: refused, because a figure would come of it.
void on_message(j_common_ptr file, int level) {
    // Stray bytes between two markers are written by some cameras and harm nothing.
    if (level < 0 && file->err->msg_code != JWRN_EXTRANEOUS_DATA) {
        give_up(file);
    }
}

void on_progress(j_common_ptr file) {
    Work& work = work_of(file);
    if (work.file.input_scan_number > kMostPasses) {
        std::strcpy(work.words, "too many passes");
        std::longjmp(work.back, 1);
    }
    const double passes = work.progress.total_passes > 0 ? work.progress.total_passes : 1;
    const double share = work.progress.pass_limit > 0
                             ? static_cast<double>(work.progress.pass_counter) / static_cast<double>(work.progress.pass_limit)
                             : 0.0;
    if (work.source->stopped((work.progress.completed_passes + share) / passes)) {
        work.by_hand = true;
        std::longjmp(work.back, 1);
    }
}

void keep_markers(Work& work) {
    std::vector<std::pair<int, std::string_view>> profile;
    for (jpeg_saved_marker_ptr marker = work.file.marker_list; marker != nullptr; marker = marker->next) {
        const std::string_view data(static_cast<const char*>(static_cast<const void*>(marker->data)), marker->data_length);
        if (marker->marker == kExifMarker && data.starts_with(kExifHead) && work.raw.exif.empty()) {
            work.raw.exif.assign(data.begin() + kExifHead.size(), data.end());
        } else if (marker->marker == kExifMarker && data.starts_with(kXmpHead)) {
            work.raw.edit_history = work.raw.edit_history || data.find("xmpMM:History") != std::string_view::npos;
        } else if (marker->marker == kIccMarker && data.starts_with(kIccHead) && data.size() > kIccHead.size() + 2) {
            profile.emplace_back(static_cast<unsigned char>(data[kIccHead.size()]), data.substr(kIccHead.size() + 2));
        }
    }
    // In parts of up to 64 kB, numbered from 1 (ICC.1:2010, B.4).
    for (int part = 1; part <= static_cast<int>(profile.size()); ++part) {
        for (const auto& [number, data] : profile) {
            if (number == part && work.raw.icc.size() + data.size() <= kMostProfileBytes) {
                work.raw.icc.insert(work.raw.icc.end(), data.begin(), data.end());
            }
        }
    }
}

int coarsest_step(const jpeg_decompress_struct& file) {
    int step = 0;
    for (int i = 0; i < file.num_components; ++i) {
        const JQUANT_TBL* table = file.quant_tbl_ptrs[file.comp_info[i].quant_tbl_no];
        step = table != nullptr ? std::max<int>(step, table->quantval[0]) : step;
    }
    return step;
}

Ended decode(Work& work) {
    if (setjmp(work.back) != 0) {
        return work.by_hand ? Ended::stopped : Ended::damaged;
    }
    jpeg_create_decompress(&work.file);
    work.file.client_data = &work;
    work.file.mem->max_memory_to_use = kMostMemory_bytes;
    work.file.progress = &work.progress;
    work.progress.progress_monitor = on_progress;
    jpeg_mem_src(&work.file, static_cast<const unsigned char*>(static_cast<const void*>(work.source->bytes.data())),
                 work.source->bytes.size());
    jpeg_save_markers(&work.file, kExifMarker, 0xFFFF);
    jpeg_save_markers(&work.file, kIccMarker, 0xFFFF);
    jpeg_read_header(&work.file, TRUE);
    work.refusal = refused_size(*work.source, work.file.image_width, work.file.image_height);
    if (!work.refusal && work.file.num_components != 3) {
        work.refusal = no_colour(*work.source, work.file.num_components == 1 ? "it is black and white"
                                                                             : "it is made for print (four inks)");
    }
    if (work.refusal) {
        return Ended::refused;
    }
    keep_markers(work);
    work.file.out_color_space = JCS_RGB;
    work.file.dct_method = JDCT_ISLOW;
    jpeg_start_decompress(&work.file);
    work.raw.jpeg_step = coarsest_step(work.file);
    Pixels& pixels = work.raw.pixels;
    pixels.width = static_cast<int>(work.file.output_width);
    pixels.height = static_cast<int>(work.file.output_height);
    const std::size_t row = std::size_t{3} * work.file.output_width;
    pixels.narrow.resize(row * work.file.output_height);
    while (work.file.output_scanline < work.file.output_height) {
        JSAMPROW line = pixels.narrow.data() + row * work.file.output_scanline;
        jpeg_read_scanlines(&work.file, &line, 1);
    }
    jpeg_finish_decompress(&work.file);
    return Ended::done;
}

}  // namespace

Result<Raw> read_jpeg(const Source& source) {
    const auto work = std::make_unique<Work>();
    work->source = &source;
    work->raw.kind = FileKind::jpeg;
    work->file.err = jpeg_std_error(&work->faults);
    work->faults.error_exit = give_up;
    work->faults.emit_message = on_message;
    work->file.client_data = work.get();
    const Ended ended = decode(*work);
    jpeg_destroy_decompress(&work->file);
    return answer_of(ended, *work);
}

}  // namespace tonebath::picture
