#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

#include "cli/command.h"

int main(int argc, char** argv) {
  using namespace armslength;
  spdlog::set_default_logger(spdlog::stderr_logger_mt("armslength"));
  spdlog::set_level(spdlog::level::warn);

  CLI::App app{
      "Armslength measures a drawn figure: what is off, by how much, and how sure that is.\n"
      "It reads pictures and marks, never changes them, and works without a network.",
      "armslength"};
  app.set_version_flag("--version", "armslength " ARMSLENGTH_VERSION);
  app.require_subcommand(1);
  cli::Session session;
  cli::AddCritique(app, session);
  cli::AddReading(app, session);
  cli::AddCanon(app, session);
  cli::AddMarks(app, session);
  cli::AddDemo(app, session);
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? 0 : ExitCode(ErrorKind::kUsage);
  } catch (const std::bad_alloc&) {
    return cli::Complain({ErrorKind::kInternal, "", "", "there is not enough memory",
                          "Close other programs or use a smaller picture"});
  } catch (const std::exception& error) {
    return cli::Complain({ErrorKind::kInternal, "", "", error.what(), "Please report this with the files used"});
  }
  return session.exit_code;
}
