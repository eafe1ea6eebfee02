#include "app/window/look_and_feel.h"

namespace armslength::app {
namespace {

QColor Grey(int v) { return {v, v, v}; }

}  // namespace

QPalette NeutralPalette(bool dark) {
  QPalette p;
  const auto set = [&](QPalette::ColorRole role, int light_v, int dark_v) { p.setColor(role, Grey(dark ? dark_v : light_v)); };
  set(QPalette::Window, 236, 46);
  set(QPalette::Base, 250, 36);
  set(QPalette::AlternateBase, 242, 52);
  set(QPalette::Button, 226, 62);
  set(QPalette::Light, 255, 90);
  set(QPalette::Midlight, 240, 76);
  set(QPalette::Mid, 176, 100);
  set(QPalette::Dark, 128, 70);   // surround of the picture: middle grey, darker at night
  set(QPalette::Shadow, 90, 10);
  set(QPalette::WindowText, 20, 232);
  set(QPalette::Text, 20, 232);
  set(QPalette::ButtonText, 20, 232);
  set(QPalette::ToolTipBase, 250, 60);
  set(QPalette::ToolTipText, 20, 232);
  set(QPalette::PlaceholderText, 96, 168);
  set(QPalette::Highlight, 70, 200);
  set(QPalette::HighlightedText, 255, 16);
  set(QPalette::Link, 20, 232);
  for (const auto role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText})
    p.setColor(QPalette::Disabled, role, Grey(dark ? 140 : 130));
  return p;
}

}  // namespace armslength::app
