// A language chosen in the settings is there at once, and the artist's work with it.
#include <QAction>
#include <QApplication>

#include "app/places/mark_place.h"
#include "app/window/commands.h"
#include "window_fixture.h"
#include "words/say.h"

namespace armslength::app {
namespace {

MainWindow* TheOnlyWindow() {
  MainWindow* found = nullptr;
  for (QWidget* widget : QApplication::topLevelWidgets())
    if (auto* window = qobject_cast<MainWindow*>(widget); window && window->isVisible()) {
      EXPECT_EQ(found, nullptr) << "more than one window";
      found = window;
    }
  return found;
}

TEST_F(WindowTest, AnotherLanguageKeepsPicturePlaceAndWork) {
  const QString picture = Picture(QStringLiteral("old"), true);
  auto* first = NewWindow().release();  // deletes itself when it makes room
  ASSERT_TRUE(Open(*first, picture));
  first->GoTo(QStringLiteral("mark"));
  first->TheMarks().SetPoint(PointId::kWristL, {321.0, 654.0});
  const QString english = first->TheCommands().Find(QStringLiteral("file.open"))->text();
  for (const auto& [language, expected] : {std::pair{"de", QString::fromUtf8("Bild öffnen")}, std::pair{"en", english}}) {
    MainWindow::ChangeLanguage(QString::fromLatin1(language));
    EXPECT_EQ(Language(), language);
    MainWindow* next = TheOnlyWindow();
    ASSERT_TRUE(next);
    EXPECT_EQ(next->TheCommands().Find(QStringLiteral("file.open"))->text(), expected);
    const auto wrist = [&]() -> std::optional<Vec2> {
      const auto& figures = next->TheDocument().Current().marks.figures;
      return figures.empty() ? std::nullopt : figures[0].At(PointId::kWristL);
    };
    ASSERT_TRUE(QTest::qWaitFor([&] { return wrist() && *wrist() == Vec2(321.0, 654.0); }, kPatienceMs)) << language;
    EXPECT_EQ(next->TheDocument().Path(), picture);
    EXPECT_TRUE(next->TheMarkPlace().isVisible());
  }
  TheOnlyWindow()->close();
  QCoreApplication::sendPostedEvents(nullptr, QEvent::DeferredDelete);
}

}  // namespace
}  // namespace armslength::app
