// The screen's profile as a display server holds it: a server of the test's own, without a screen.
#include "app/window/screen_profile.h"

#include <unistd.h>

#include <QColorSpace>
#include <QFile>
#include <QProcess>
#include <QStandardPaths>
#include <QTest>
#include <gtest/gtest.h>
#include <xcb/xcb.h>

namespace armslength::app {
namespace {

void Put(xcb_connection_t* x, const char* name, const QByteArray& bytes) {
  auto* atom = xcb_intern_atom_reply(x, xcb_intern_atom(x, 0, static_cast<std::uint16_t>(qstrlen(name)), name), nullptr);
  ASSERT_TRUE(atom);
  const xcb_window_t root = xcb_setup_roots_iterator(xcb_get_setup(x)).data->root;
  xcb_change_property(x, XCB_PROP_MODE_REPLACE, root, atom->atom, XCB_ATOM_CARDINAL, 8, static_cast<std::uint32_t>(bytes.size()),
                      bytes.constData());
  xcb_flush(x);
  std::free(atom);
}

// ICC Profiles in X Specification 0.4 (freedesktop.org): the property's name, type and format.
TEST(ScreenProfile, IsTheRootWindowsProperty) {
  const QString server = QStandardPaths::findExecutable(QStringLiteral("Xvfb"));
  if (server.isEmpty()) GTEST_SKIP() << "no Xvfb here";
  QProcess xvfb;
  int pipes[2];
  ASSERT_EQ(pipe(pipes), 0);
  // The server picks a free number and writes it to this descriptor.
  xvfb.setChildProcessModifier([&] { dup2(pipes[1], 3); });
  xvfb.start(server, {QStringLiteral("-displayfd"), QStringLiteral("3"), QStringLiteral("-screen"), QStringLiteral("0"),
                      QStringLiteral("64x64x24"), QStringLiteral("-nolisten"), QStringLiteral("tcp")});
  ASSERT_TRUE(xvfb.waitForStarted(10000));
  close(pipes[1]);
  char number[16] = {};
  std::size_t got = 0;
  while (got < sizeof number - 1) {
    const auto n = read(pipes[0], number + got, 1);
    if (n <= 0 || number[got] == '\n') break;
    ++got;
  }
  close(pipes[0]);
  ASSERT_GT(got, 0u);
  number[got] = 0;
  xcb_connection_t* x = xcb_connect((std::string(":") + number).c_str(), nullptr);
  ASSERT_EQ(xcb_connection_has_error(x), 0);
  EXPECT_TRUE(IccProfileOf(x, 0).isEmpty()) << "a display that knows no profile";
  const QByteArray wide = QColorSpace(QColorSpace::DisplayP3).iccProfile(), srgb = QColorSpace(QColorSpace::SRgb).iccProfile();
  Put(x, "_ICC_PROFILE", wide);
  Put(x, "_ICC_PROFILE_1", srgb);
  EXPECT_EQ(IccProfileOf(x, 0), wide);
  EXPECT_EQ(IccProfileOf(x, 1), srgb);
  EXPECT_TRUE(IccProfileOf(x, 2).isEmpty());
  EXPECT_EQ(QColorSpace::fromIccProfile(IccProfileOf(x, 0)).primaries(), QColorSpace::Primaries::DciP3D65);
  xcb_disconnect(x);
  xvfb.terminate();
  xvfb.waitForFinished(5000);
}

TEST(ScreenProfile, NoDisplayServerMeansNone) { EXPECT_TRUE(ProfileOfDisplay(nullptr).isEmpty()); }

}  // namespace
}  // namespace armslength::app
