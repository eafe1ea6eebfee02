// How the window looks and speaks: contrast, themes, keys, translation, help, names for screen readers.
#include <QAbstractButton>
#include <QComboBox>
#include <QImage>
#include <QLineEdit>
#include <QListWidget>
#include <QPlainTextEdit>
#include <QProcess>
#include <QTranslator>
#include <QXmlStreamReader>

#include "app/canvas/snap.h"
#include "app/critique/shape_painter.h"
#include "app/places/mark_place.h"
#include "app/session/words.h"
#include "app/window/break_reminder.h"
#include "app/window/commands.h"
#include "app/window/keys_dialog.h"
#include "app/window/look_and_feel.h"
#include "colour/difference.h"
#include "window_fixture.h"

namespace armslength::app {
namespace {

double Ratio(const QColor& a, const QColor& b) {
  const auto rgb = [](const QColor& c) {
    return Rgb8{static_cast<std::uint8_t>(c.red()), static_cast<std::uint8_t>(c.green()), static_cast<std::uint8_t>(c.blue())};
  };
  return ContrastRatio(rgb(a), rgb(b));
}

// WCAG 2.2, 1.4.3 (text, 4.5:1); every pair that text is drawn in.
TEST(Theme, TextHasContrastInBothThemes) {
  for (const bool dark : {false, true}) {
    SCOPED_TRACE(dark ? "dark" : "light");
    const QPalette p = NeutralPalette(dark);
    using R = QPalette::ColorRole;
    for (const auto& [text, ground, least] : {std::tuple{R::WindowText, R::Window, 7.0}, {R::Text, R::Base, 7.0},
                                              {R::ButtonText, R::Button, 7.0}, {R::ButtonText, R::Midlight, 7.0},
                                              {R::HighlightedText, R::Highlight, 7.0}, {R::PlaceholderText, R::Base, 4.5},
                                              {R::PlaceholderText, R::Window, 4.5}, {R::ToolTipText, R::ToolTipBase, 7.0}})
      EXPECT_GE(Ratio(p.color(text), p.color(ground)), least) << text << " on " << ground;
    EXPECT_GE(Ratio(p.color(QPalette::Disabled, R::ButtonText), p.color(R::Window)), 4.5);
  }
}

TEST(Theme, GreysAreNeutral) {
  for (const bool dark : {false, true})
    for (int role = 0; role < QPalette::NColorRoles; ++role) {
      if (role == QPalette::NoRole) continue;
      const QColor c = NeutralPalette(dark).color(static_cast<QPalette::ColorRole>(role));
      EXPECT_TRUE(c.red() == c.green() && c.green() == c.blue()) << role;
    }
}

TEST_F(WindowTest, NoKeyIsUsedTwiceInOnePlace) {
  auto window = NewWindow();
  const auto& all = window->TheCommands().All();
  for (const auto& a : all)
    if (!a.action->shortcut().isEmpty()) {
      EXPECT_EQ(window->TheCommands().Holder(a.action->shortcut(), a.action), nullptr)
          << a.action->objectName().toStdString() << " " << a.action->shortcut().toString().toStdString();
    }
}

TEST_F(WindowTest, KeysAreRemappedAndKept) {
  auto window = NewWindow();
  const QString file = folder_.filePath(QStringLiteral("keys.json"));
  Commands& commands = window->TheCommands();
  KeysDialog dialog(commands, file);
  int row = 0;
  while (commands.All()[static_cast<std::size_t>(row)].action->objectName() != QLatin1String("look.mirrored")) ++row;
  EXPECT_EQ(dialog.Give(row, QKeySequence(QStringLiteral("W"))), commands.Find(QStringLiteral("look.upside_down"))->text());
  EXPECT_TRUE(commands.Find(QStringLiteral("look.upside_down"))->shortcut().isEmpty());
  commands.ResetKeys();
  EXPECT_EQ(commands.Find(QStringLiteral("look.mirrored"))->shortcut(), QKeySequence(QStringLiteral("Q")));
  EXPECT_EQ(commands.LoadKeys(file), QString());
  EXPECT_EQ(commands.Find(QStringLiteral("look.mirrored"))->shortcut(), QKeySequence(QStringLiteral("W")));
  // And it works: the picture is mirrored by the new key.
  ASSERT_TRUE(Open(*window, Picture()));
  QTest::keyClick(window.get(), Qt::Key_W);
  EXPECT_TRUE(window->TheCanvas().Mirrored());
}

TEST_F(WindowTest, LettersTypedInANoteAreNoKeys) {
  auto window = NewWindow();
  ASSERT_TRUE(Open(*window, Picture()));
  auto* text = window->findChild<QPlainTextEdit*>();
  text->setFocus();
  QTest::keyClicks(text, QStringLiteral("wrq"));
  EXPECT_EQ(text->toPlainText(), QStringLiteral("wrq"));
  EXPECT_FALSE(window->TheCanvas().Mirrored());
  EXPECT_FALSE(window->TheCanvas().UpsideDown());
}

TEST_F(WindowTest, EveryControlHasANameForScreenReaders) {
  auto window = NewWindow();
  for (QWidget* w : window->findChildren<QWidget*>()) {
    const auto* button = qobject_cast<QAbstractButton*>(w);
    const bool control = button || qobject_cast<QComboBox*>(w) || qobject_cast<QListWidget*>(w) || qobject_cast<QPlainTextEdit*>(w);
    if (!control || w->objectName().startsWith(QLatin1String("qt_")) || qobject_cast<QComboBox*>(w->parentWidget())) continue;
    EXPECT_FALSE(w->accessibleName().isEmpty() && (!button || button->text().isEmpty())) << w->metaObject()->className();
  }
}

// Places must not be cut: nothing in the panel is narrower than its words, at the panel's width.
TEST_F(WindowTest, NoButtonCutsItsWords) {
  for (const bool german : {false, true}) {
    QTranslator own;
    if (german) {
      ASSERT_TRUE(own.load(QStringLiteral(":/i18n/armslength_de.qm")));
      QCoreApplication::installTranslator(&own);
    }
    auto window = NewWindow(german ? QStringLiteral("de") : QStringLiteral("en"));
    for (const char* place : {"look", "mark", "critique"}) {
      window->GoTo(QLatin1String(place));
      QTest::qWait(50);
      for (auto* b : window->findChildren<QAbstractButton*>())
        if (b->isVisible() && b->inherits("armslength::app::KeyButton")) {
          EXPECT_GE(b->width(), b->sizeHint().width()) << place << ": " << b->text().toStdString();
        }
      if (QLatin1String(place) == QLatin1String("mark")) {
        window->TheMarkPlace().Show(MarkPlace::What::kRings);
        QTest::qWait(50);
        for (auto* b : window->findChildren<QAbstractButton*>())
          if (b->isVisible() && b->inherits("armslength::app::KeyButton")) {
            EXPECT_GE(b->width(), b->sizeHint().width()) << "rings: " << b->text().toStdString();
          }
      }
    }
    QCoreApplication::removeTranslator(&own);
  }
}

// Every place in both themes at 200 %, by the program that also makes the pictures of the documentation.
TEST_F(WindowTest, EveryPlaceIsDrawnAtTwoHundredPercent) {
  QProcess grab;
  QProcessEnvironment environment = QProcessEnvironment::systemEnvironment();
  environment.insert(QStringLiteral("QT_QPA_PLATFORM"), QStringLiteral("offscreen"));
  environment.insert(QStringLiteral("QT_SCALE_FACTOR"), QStringLiteral("2"));
  grab.setProcessEnvironment(environment);
  grab.start(QStringLiteral(AL_GRAB), {folder_.filePath(QStringLiteral("grabs"))});
  ASSERT_TRUE(QTest::qWaitFor([&] { return grab.state() == QProcess::NotRunning; }, kPatienceMs));
  EXPECT_EQ(grab.exitCode(), 0);
  for (const char* place : {"start", "look", "mark", "critique", "help", "upright"})
    for (const char* theme : {"light", "dark"}) {
      const QImage image(folder_.filePath(QStringLiteral("grabs/window_%1_%2.png").arg(QLatin1String(place), QLatin1String(theme))));
      EXPECT_EQ(image.size(), QSize(2560, 1720)) << place << theme;
      // The panel's ground is the theme's.
      const int ground = NeutralPalette(QLatin1String(theme) == QLatin1String("dark")).color(QPalette::Window).red();
      EXPECT_EQ(qRed(image.pixel(8, 8)), ground) << place << theme;
    }
}

TEST(Translation, GermanIsComplete) {
  QFile file(QStringLiteral(AL_SOURCE_DIR "/app/i18n/armslength_de.ts"));
  ASSERT_TRUE(file.open(QIODevice::ReadOnly));
  QXmlStreamReader xml(&file);
  int messages = 0;
  QString source;
  while (!xml.atEnd()) {
    xml.readNext();
    if (!xml.isStartElement()) continue;
    if (xml.name() == QLatin1String("message")) ++messages;
    if (xml.name() == QLatin1String("source")) source = xml.readElementText();
    if (xml.name() == QLatin1String("translation")) {
      const auto type = xml.attributes().value(QLatin1String("type"));
      EXPECT_TRUE(type.isEmpty() || type == QLatin1String("vanished") || type == QLatin1String("obsolete")) << source.toStdString();
      EXPECT_FALSE(xml.readElementText(QXmlStreamReader::IncludeChildElements).trimmed().isEmpty()) << source.toStdString();
    }
  }
  EXPECT_FALSE(xml.hasError()) << xml.errorString().toStdString();
  EXPECT_GT(messages, 150);
}

TEST(Translation, EveryPointHasItsGermanName) {
  QTranslator own;
  ASSERT_TRUE(own.load(QStringLiteral(":/i18n/armslength_de.qm")));
  QCoreApplication::installTranslator(&own);
  for (int i = 0; i < kPointCount; ++i) {
    const auto id = static_cast<PointId>(i);
    EXPECT_NE(Spoken(id), QString::fromUtf8(SpokenName(id).data(), static_cast<qsizetype>(SpokenName(id).size())));
  }
  QCoreApplication::removeTranslator(&own);
}

TEST(Breaks, OneReminderAnHourAndNoneAfterARest) {
  BreakReminder breaks;
  int due = 0;
  QObject::connect(&breaks, &BreakReminder::Due, [&] { ++due; });
  for (int i = 0; i < 4 * 59; ++i) breaks.Count(15, true);
  EXPECT_EQ(due, 0);
  for (int i = 0; i < 4; ++i) breaks.Count(15, true);
  EXPECT_EQ(due, 1);
  for (int i = 0; i < 4 * 50; ++i) breaks.Count(15, true);
  for (int i = 0; i < 4 * 6; ++i) breaks.Count(15, false);  // six minutes away
  EXPECT_EQ(breaks.WorkedMinutes(), 0.0);
  for (int i = 0; i < 4 * 30; ++i) breaks.Count(15, true);
  EXPECT_EQ(due, 1);
}

TEST(Snapping, FindsTheMiddleOfALine) {
  ImageRgba8 image;
  image.width = image.height = 120;
  image.pixels.assign(std::size_t{4} * 120 * 120, 255);
  for (int y = 0; y < 120; ++y)
    for (int x = 58; x < 63; ++x)
      for (int c = 0; c < 3; ++c) image.At(x, y)[c] = 20;  // a vertical stroke, middle at x = 60.5
  const QPointF at = SnapToLine(image, {64.3, 50.2}, 9.0);
  EXPECT_NEAR(at.x(), 60.5, 0.3);
  const QPointF far = SnapToLine(image, {90.0, 50.0}, 9.0);
  EXPECT_EQ(far, QPointF(90.0, 50.0));
}

}  // namespace
}  // namespace armslength::app
