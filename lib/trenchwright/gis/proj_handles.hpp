#pragma once

#include <memory>

struct PJconsts;
struct pj_ctx;

namespace trenchwright {

/// Gives PROJ's objects back.
struct DropProj {
    void operator()(pj_ctx* context) const;
    void operator()(PJconsts* object) const;
};
using ContextPtr = std::unique_ptr<pj_ctx, DropProj>;
using PjPtr = std::unique_ptr<PJconsts, DropProj>;

/// A context that stays offline and silent.
ContextPtr quiet_context();

} // namespace trenchwright
