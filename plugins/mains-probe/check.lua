-- A presence indicator held in the hand: what flows through the user, with any one part failed, whether it lights, whether a dark lamp
-- can be trusted, and what its tip can bridge.

-- Neon lamps and LEDs that tell of mains.
local function lamps(jig)
  local list = {}
  for _, kind in { "neon-lamp", "led" } do
    for _, part in jig:parts(kind) do table.insert(list, part) end
  end
  return list
end

local function user(found, jig, touchable)
  local worst = jig:touch(touchable.name, "single-fault")
  local most = limit("user-current")
  if worst == nil or worst.current_rms <= most then return end
  local crest = jig.supply.high
  table.insert(found, warning{
    check = "user-current",
    message = string.format("with one part failed %s lets %s through whoever holds it: the probe is held to the mains with a finger on it every time it is used, so the limit of normal use holds with a fault, too",
      touchable.name, format(worst.current_rms, "A")),
    remedy = string.format("put two resistors in series between tip and finger, each of %s or more at the low end of its tolerance", format(crest / most, "Ω")),
    touchables = { touchable.name }, condition = worst.condition, quantity = "current r.m.s.", value = worst.current_rms,
  })
end

local function single(found, jig, touchable)
  local count, names = 0, {}
  for _, part in jig:parts("resistor") do
    count += 1
    table.insert(names, part.name)
  end
  if count >= limit("one-resistor") then return end
  table.insert(found, warning{
    check = "one-resistor",
    message = string.format("%s between the tip and %s: moist dirt or one cracked film across it puts the mains on the finger",
      if count == 0 then "no resistor stands" else "a single resistor stands", touchable.name),
    remedy = string.format("put at least %d resistors in series, apart from each other", limit("one-resistor")),
    parts = names, touchables = { touchable.name }, condition = "any one part bridged", quantity = "resistors", value = count,
  })
end

-- A resistor across a lamp that takes all that flows: the lamp sees too few volts to light.
local function starved(jig, lamp, amperes)
  local needs = lamp.strike_max or lamp.strike or lamp.forward * lamp.series
  for _, part in jig:parts("resistor") do
    local a, b = part.across[1], part.across[2]
    local beside = jig:joined(a, lamp.across[1]) and jig:joined(b, lamp.across[2])
      or jig:joined(a, lamp.across[2]) and jig:joined(b, lamp.across[1])
    if beside and amperes * math.sqrt(2) * part.resistance < needs then return part, needs end
  end
  return nil
end

local function lights(found, jig, touchable, list)
  local seen = jig:touch(touchable.name, "normal")
  local least = limit("too-dim")
  if #list == 0 then
    table.insert(found, warning{
      check = "no-lamp", message = "no lamp on the probe tells of mains: it shows every wire as dead",
      remedy = "put a neon lamp in series with the resistors", touchables = { touchable.name }, condition = "as wired",
    })
  elseif seen and seen.current_rms < least then
    table.insert(found, warning{
      check = "too-dim",
      message = string.format("even on high mains and with a hand on earth only %s flow through %s: in daylight it looks dark, and a live wire is taken for a dead one", format(seen.current_rms, "A"), list[1].name),
      remedy = if seen.current_rms < least / 100 then "use a lamp that strikes on fewer volts: this one does not light at all"
        else string.format("lower the resistance to tip and finger to about %.0f %% of what it is", 100 * seen.current_rms / least),
      parts = { list[1].name }, touchables = { touchable.name }, condition = seen.condition, quantity = "current r.m.s.", value = seen.current_rms,
    })
  else
    -- One lamp that lights is enough.
    local dark = nil
    for _, lamp in list do
      local part, needs = starved(jig, lamp, if seen then seen.current_rms else 0)
      if part == nil then return end
      dark = dark or { lamp, part, needs }
    end
    local lamp, part, needs = dark[1], dark[2], dark[3]
    table.insert(found, warning{
      check = "too-dim",
      message = string.format("%s takes all that flows past %s: it leaves the lamp less than the %s it needs, so a live wire is taken for a dead one",
        part.name, lamp.name, format(needs, "V")),
      remedy = string.format("take %s out, or make it %s or more", part.name, format(2 * needs / math.sqrt(2) / seen.current_rms, "Ω")),
      parts = { lamp.name, part.name }, touchables = { touchable.name }, condition = seen.condition,
      quantity = "current r.m.s.", value = 0,
    })
  end
end

local function trusted(found, jig, list)
  if jig.settings.marked or #list == 0 then return end
  table.insert(found, notice{
    check = "prove-first",
    message = string.format("dark is no proof: %s also stays dark when it has failed, and when the user stands well insulated", list[1].name),
    remedy = "write \"prove on a live point before and after\" on the probe and set [plugin.mains-probe] marked = true; before hands go in use a tester with two poles",
    parts = { list[1].name }, condition = "lamp failed, or no way to earth through the user",
  })
end

local function tip(found, jig)
  local bare, most = jig.settings.tip, limit("bare-tip")
  if bare <= most then return end
  table.insert(found, caution{
    check = "bare-tip",
    message = string.format("%s of the tip are bare: it bridges neighbouring contacts, and a finger that slips gets to it", format(bare, "m")),
    remedy = string.format("sleeve it down to %s or less, with a rim that stops the finger", format(most, "m")),
    condition = "as built", quantity = "bare metal", value = bare,
  })
end

-- Two tips and no finger: the lamp lies between the pins and can be solved as it is.
local function two_poles(found, jig, list)
  if #list == 0 then
    table.insert(found, warning{
      check = "no-lamp", message = "no lamp on the probe tells of mains: it shows every wire as dead",
      remedy = "put a neon lamp in series with the resistors", condition = "as wired",
    })
    return
  end
  local state, best, least = jig:solve{ supply = "low" }, 0, limit("too-dim")
  for _, lamp in list do best = math.max(best, state.parts[lamp.name].current_rms) end
  if best >= least then return end
  table.insert(found, warning{
    check = "too-dim",
    message = string.format("on low mains only %s flow through %s: in daylight it looks dark, and a live wire is taken for a dead one", format(best, "A"), list[1].name),
    remedy = "lower the resistance beside the lamp, or use a lamp that strikes on fewer volts",
    parts = { list[1].name }, condition = "mains low, tips on both conductors", quantity = "current r.m.s.", value = best,
  })
end

return {
  check = function(jig)
    local found, list, finger = {}, lamps(jig), false
    tip(found, jig)
    trusted(found, jig, list)
    local used = {}
    for _, part in jig:parts() do
      for _, net in part.nets do used[net] = true end
    end
    for _, touchable in jig:touchables() do
      -- A handle that no part leads to is kept apart by insulation, which is not this plugin's business.
      if used[touchable.net] then
        finger = true
        single(found, jig, touchable)
        user(found, jig, touchable)
        lights(found, jig, touchable, list)
      end
    end
    if not finger and jig.supply.mains then
      if used.L and used.N then
        two_poles(found, jig, list)
      else
        table.insert(found, warning{
          check = "finger-not-stated",
          message = "the file does not state what the finger touches, so what flows through the user was not judged",
          remedy = "add [[touchable]] with net = the end of the chain that the finger is on", condition = "as written",
        })
      end
    end
    return found
  end,
}
