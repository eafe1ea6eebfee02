#include "app/window/commands.h"

#include <algorithm>
#include <filesystem>

#include <nlohmann/json.hpp>

#include <QWidget>

#include "support/files.h"

namespace armslength::app {
namespace {

constexpr auto kFormat = "armslength-keys";

}  // namespace

Commands::Commands(QWidget* window) : QObject(window), window_(window) {}

QAction* Commands::Enter(QAction* action, const QString& id, const QString& group, const QKeySequence& key) {
  action->setObjectName(id);
  action->setShortcut(key);
  action->setShortcutContext(Qt::WindowShortcut);
  window_->addAction(action);
  entries_.push_back({action, group, key});
  action->setEnabled(group == kWindowGroup || group == group_);
  return action;
}

QAction* Commands::Add(const QString& id, const QString& group, const QString& text, const QKeySequence& key,
                       std::function<void()> run) {
  auto* action = new QAction(text, this);
  connect(action, &QAction::triggered, this, [run = std::move(run)] { run(); });
  return Enter(action, id, group, key);
}

QAction* Commands::AddToggle(const QString& id, const QString& group, const QString& text, const QKeySequence& key,
                             std::function<void(bool)> run) {
  auto* action = new QAction(text, this);
  action->setCheckable(true);
  connect(action, &QAction::toggled, this, [run = std::move(run)](bool on) { run(on); });
  return Enter(action, id, group, key);
}

QAction* Commands::Find(const QString& id) const {
  for (const Entry& e : entries_)
    if (e.action->objectName() == id) return e.action;
  return nullptr;
}

void Commands::EnterGroup(const QString& group) {
  group_ = group;
  for (const Entry& e : entries_) e.action->setEnabled(e.group == kWindowGroup || e.group == group);
}

QAction* Commands::Holder(const QKeySequence& key, const QAction* but) const {
  if (key.isEmpty()) return nullptr;
  const auto own = std::ranges::find(entries_, but, &Entry::action);
  const QString group = own == entries_.end() ? kWindowGroup : own->group;
  for (const Entry& e : entries_)
    if (e.action != but && e.action->shortcut() == key &&
        (e.group == group || e.group == kWindowGroup || group == kWindowGroup))
      return e.action;
  return nullptr;
}

void Commands::SetKey(QAction* action, const QKeySequence& key) {
  action->setShortcut(key);
  emit KeysChanged();
}

void Commands::ResetKeys() {
  for (const Entry& e : entries_) e.action->setShortcut(e.default_key);
  emit KeysChanged();
}

QString Commands::LoadKeys(const QString& path) {
  std::error_code none;
  if (!std::filesystem::exists(path.toStdString(), none)) return {};
  const auto text = ReadFile(path.toStdString(), 1 << 20);
  if (!text) return QString::fromStdString(text.error().Text());
  const auto json = nlohmann::json::parse(*text, nullptr, false);
  if (!json.is_object() || json.value("format", "") != kFormat || !json.contains("keys") || !json["keys"].is_object())
    return tr("%1 is no keys file: the usual keys are used").arg(path);
  QStringList unknown;
  for (const auto& [id, key] : json["keys"].items()) {
    QAction* action = Find(QString::fromStdString(id));
    if (!action || !key.is_string()) {
      unknown << QString::fromStdString(id);
      continue;
    }
    action->setShortcut(QKeySequence::fromString(QString::fromStdString(key), QKeySequence::PortableText));
  }
  emit KeysChanged();
  return unknown.isEmpty() ? QString() : tr("Unknown commands in the keys file: %1").arg(unknown.join(QStringLiteral(", ")));
}

QString Commands::SaveKeys(const QString& path) const {
  nlohmann::json keys = nlohmann::json::object();
  for (const Entry& e : entries_)
    if (e.action->shortcut() != e.default_key)
      keys[e.action->objectName().toStdString()] = e.action->shortcut().toString(QKeySequence::PortableText).toStdString();
  const nlohmann::json file = {{"format", kFormat}, {"version", 1}, {"keys", std::move(keys)}};
  const auto saved = WriteFileAtomic(path.toStdString(), file.dump(2) + "\n");
  return saved ? QString() : QString::fromStdString(saved.error().Text());
}

}  // namespace armslength::app
