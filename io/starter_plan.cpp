// SPDX-License-Identifier: MIT
#include "io/plan_file.h"

namespace tankyard {

std::string starter_plan() {
  return R"plan(# A yard to start from: three tanks on one rail behind a school shed. Change it bit by bit into
# your own, and let `tankyard check` look at it after each change.
#
# A quantity is a number and its unit in quotes: "19 mm", "450 L", "12 mm/h".
# Heights called `base`, and those of rails, taps and crests, count from the yard's datum: one mark
# that you choose, such as the lowest paving slab. Heights in a tank count from its inside bottom.

[site]
name = "Bramble End school garden"
altitude = "120 m"               # thinner air: a pump lifts a little less
water_temperature = "12 degC"

[run]
lasts = "24 h"
starts = "05:00"                 # clock time at which the run begins

# ---- Tanks: two caged tanks of 1000 litres and a butt. Their rims stand at one height (1.45 m), so
# ---- that none runs over while another has room.

[[tank]]
name = "cage-1"
shape = { prism = { area = "1.0 m2", height = "1.0 m" } }    # any box: floor area and inside height
base = "0.45 m"                  # inside bottom above the datum
outlet_height = "0.05 m"         # where its hose joins: water below it stays in the tank
water = "0.5 m"                  # at the start; a volume, "500 L", will do as well
lid = { hole = "25 mm", screen = 0.6 }   # closed, with one hole; the screen leaves 0.6 of it free
overflow = { height = "0.90 m", bore = "50 mm" }   # onto the ground; to = "butt" leads it on
position = ["0.0 m", "0.0 m"]    # where it stands, seen from above

[[tank]]
name = "cage-2"
shape = { prism = { area = "1.0 m2", height = "1.0 m" } }
base = "0.45 m"
outlet_height = "0.05 m"
water = "0.5 m"
lid = { hole = "25 mm", screen = 0.6 }
overflow = { height = "0.90 m", bore = "50 mm" }
position = ["1.3 m", "0.0 m"]

[[tank]]
name = "butt"
shape = { upright = { diameter = "0.6 m", height = "0.95 m" } }  # round; one on its side: `lying`
base = "0.50 m"
outlet_height = "0.05 m"
water = "0.45 m"
lid = "open"                     # or "sealed", or { hole = "12 mm" }
overflow = { height = "0.85 m", bore = "40 mm" }
position = ["2.4 m", "0.0 m"]

# ---- The rail: a pipe that the hoses share. It keeps no water of its own.

[[header]]
name = "rail"
height = "0.40 m"

# ---- Hoses. Each has an isolating valve by its tank, so that one tank can be taken out.

[[hose]]
from = "cage-1"                  # the name comes from the ends: "cage-1-rail"
to = "rail"
bore = "25 mm"
length = "1.2 m"
roughness = "0.0015 mm"          # smooth plastic
fittings = ["elbow", "tee-branch"]   # each costs a little head; or their sum: loss = 1.75
valve = "V1"

[[hose]]
from = "cage-2"
to = "rail"
bore = "25 mm"
length = "1.2 m"
roughness = "0.0015 mm"
fittings = ["elbow", "tee-branch"]
valve = "V2"

[[hose]]
from = "butt"
to = "rail"
bore = "19 mm"
length = "2.0 m"
roughness = "0.0015 mm"
fittings = ["elbow", "tee-branch"]
valve = { name = "V3", open = true }   # a valve that is shut at the start: open = false

[[hose]]
name = "bed-hose"
from = "rail"
to = "bed-tap"
bore = "19 mm"
length = "8 m"
roughness = "0.0015 mm"
fittings = ["coupling"]

# ---- Where water is used. The tap lies below the water of all tanks, so it runs by itself.

[[outlet]]
name = "bed-tap"
height = "0.30 m"                # of its mouth
bore = "10 mm"
open = false

# ---- Where water comes from.

[[roof]]
name = "shed"
area = "40 m2"                   # as seen from above
runoff = 0.85                    # the rest wets the roof and splashes
first_flush = "0.5 mm"           # turned away at the beginning of the rain
into = "cage-1"

# ---- The day sheet: what is done at what time. At a clock time, or "90 min" after the start.

[[step]]
at = "06:30"
open = ["bed-tap"]

[[step]]
at = "06:50"
close = ["bed-tap"]

[[step]]
at = "12:00"
rain = "8 mm/h"                  # goes on until a later step says otherwise

[[step]]
at = "13:30"
rain = "0 mm/h"

# ---- What is taken every day, for `check` (how long does it last without rain?) and `season` (does
# ---- it last through years of recorded rain?).

[[use]]
outlet = "bed-tap"
daily = "120 L"
at = "06:30"
from = "04-15"                   # 15 April
until = "09-30"
skip_after_rain = "4 mm"         # nobody waters on a day with so much rain
)plan";
}

}  // namespace tankyard
