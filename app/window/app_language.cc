#include "app/window/app_language.h"

#include <memory>

#include <QApplication>
#include <QLibraryInfo>
#include <QLocale>
#include <QTranslator>

#include "words/say.h"

namespace armslength::app {
namespace {

void Replace(std::unique_ptr<QTranslator>& used, const QLocale& locale, const QString& name, const QString& folder) {
  used.reset();  // takes itself out of the application
  auto next = std::make_unique<QTranslator>();
  if (!next->load(locale, name, QStringLiteral("_"), folder)) return;
  QCoreApplication::installTranslator(next.get());
  used = std::move(next);
}

}  // namespace

void UseLanguage(const QString& language) {
  const QLocale locale = language.isEmpty() ? QLocale::system() : QLocale(language);
  QLocale::setDefault(locale);
  static std::unique_ptr<QTranslator> qt, own;
  Replace(qt, locale, QStringLiteral("qtbase"), QLibraryInfo::path(QLibraryInfo::TranslationsPath));
  Replace(own, locale, QStringLiteral("armslength"), QStringLiteral(":/i18n"));
  SpeakLanguage(locale.name().toStdString());  // the findings
}

}  // namespace armslength::app
