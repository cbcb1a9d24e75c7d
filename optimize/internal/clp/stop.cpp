// Clp can be stopped only through an event handler, and the C header of 1.17 declares none. This is
// that handler: it looks at one flag after each iteration of the simplex methods.
#define CLP_EXTERN_C
#include "ClpSimplex.hpp"
#include "ClpEventHandler.hpp"
#include "Coin_C_defines.h"
#include "stop.h"

namespace {
class Watch : public ClpEventHandler {
public:
  explicit Watch(const int *flag) : flag_(flag) {}
  ClpEventHandler *clone() const override { return new Watch(*this); }
  // A result of 0 or more stops the solve with status 5; -1 lets it go on.
  int event(Event) override { return __atomic_load_n(flag_, __ATOMIC_RELAXED) ? 0 : -1; }

private:
  const int *flag_;
};
}  // namespace

extern "C" void noonkeep_watch(void *model, const int *flag) {
  Watch watch(flag);
  static_cast<Clp_Simplex *>(model)->model_->passInEventHandler(&watch);
}
