#pragma once
#include <QByteArray>

class QScreen;
struct xcb_connection_t;

namespace armslength::app {

// The ICC profile that the display server holds for `screen`; empty when it has none or cannot say
// (Wayland, no display). X11 only: the root window's property _ICC_PROFILE, for further
// screens _ICC_PROFILE_1, ... (freedesktop.org, ICC Profiles in X Specification 0.4). A
// screen without one of its own gets none.
[[nodiscard]] QByteArray ProfileOfDisplay(const QScreen* screen);

// The property itself, of the first root window of `x`. `screen` counts from 0.
[[nodiscard]] QByteArray IccProfileOf(xcb_connection_t* x, int screen);

}  // namespace armslength::app
