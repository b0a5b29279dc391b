// Preloaded into windows under the leak check: keeps every library loaded to the end, so that memory which a graphics
// driver holds carries the driver's name and can be told from ours (tests/lsan.supp).
extern "C" int dlclose(void* /*library*/) {
    return 0;
}
