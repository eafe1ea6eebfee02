#include "app/window/screen_profile.h"

#include <algorithm>
#include <cstdlib>
#include <memory>

#include <QGuiApplication>
#include <QScreen>
#include <xcb/xcb.h>

namespace armslength::app {
namespace {

constexpr std::uint32_t kMostWords = 1U << 20;  // 4 MiB; profiles of screens are far smaller

struct Free {
  void operator()(void* p) const { std::free(p); }  // xcb hands out malloc's
};
template <typename T>
using Reply = std::unique_ptr<T, Free>;

}  // namespace

QByteArray IccProfileOf(xcb_connection_t* x, int screen) {
  if (!x || xcb_connection_has_error(x) != 0) return {};
  QByteArray name("_ICC_PROFILE");
  if (screen > 0) name += '_' + QByteArray::number(screen);
  const Reply<xcb_intern_atom_reply_t> atom(xcb_intern_atom_reply(
      x, xcb_intern_atom(x, 1, static_cast<std::uint16_t>(name.size()), name.constData()), nullptr));
  if (!atom || atom->atom == XCB_ATOM_NONE) return {};
  const auto roots = xcb_setup_roots_iterator(xcb_get_setup(x));
  if (roots.rem == 0) return {};
  const Reply<xcb_get_property_reply_t> got(xcb_get_property_reply(
      x, xcb_get_property(x, 0, roots.data->root, atom->atom, XCB_GET_PROPERTY_TYPE_ANY, 0, kMostWords), nullptr));
  if (!got || got->format != 8 || got->bytes_after > 0) return {};
  return {static_cast<const char*>(xcb_get_property_value(got.get())), xcb_get_property_value_length(got.get())};
}

QByteArray ProfileOfDisplay(const QScreen* screen) {
#if QT_CONFIG(xcb)
  if (const auto* x = qGuiApp->nativeInterface<QNativeInterface::QX11Application>())
    return IccProfileOf(x->connection(), static_cast<int>(std::max<qsizetype>(0, QGuiApplication::screens().indexOf(const_cast<QScreen*>(screen)))));
#endif
  (void)screen;
  return {};
}

}  // namespace armslength::app
