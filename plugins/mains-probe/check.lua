-- A presence indicator held in the hand: what flows through the user, with any one part failed, whether it lights, whether a dark lamp
-- can be trusted, and what its tip can bridge.

-- Lamps that tell of mains.
local function lamps(jig)
  local list = {}
  for _, kind in { "neon-lamp", "led", "filament-lamp" } do
    for _, part in jig:parts(kind) do table.insert(list, part) end
  end
  return list
end

-- Every way the switches can stand, with its words; past what can be tried, the rest stands at its first position.
local function settings(jig)
  local list = { { switches = {}, words = {} } }
  for _, switch in jig:parts("switch") do
    local longer, many = {}, #list * #switch.positions <= 16
    for _, set in list do
      for k, position in switch.positions do
        if k > 1 and not many then break end
        local one = { switches = table.clone(set.switches), words = table.clone(set.words) }
        one.switches[switch.name] = position.name
        table.insert(one.words, switch.name .. " at " .. position.name)
        table.insert(longer, one)
      end
    end
    list = longer
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

-- What holds a current back by itself: resistors, and capacitors that are made not to fail short, of which one of class Y1
-- stands for two.
local function barriers(jig)
  local list, names = {}, {}
  for _, part in jig:parts("resistor") do table.insert(list, { part = part, counts = 1 }) end
  for _, part in jig:parts("capacitor") do
    local class = part.class or ""
    if string.sub(class, 1, 1) == "Y" then table.insert(list, { part = part, counts = if class == "Y1" then 2 else 1 }) end
  end
  for _, one in list do table.insert(names, one.part.name) end
  return list, names
end

-- The fewest of them on any way from the mains to the finger, and their names on that way; nil where no way leads there.
local function fewest(jig, finger)
  local list, names = barriers(jig)
  local here, crossed = { { from = { "L", "N" }, names = {} } }, 0
  local reached = {}
  for steps = 0, 2 * #list do
    local now = here
    here = {}
    for _, way in now do
      if way.wait then
        table.insert(here, { from = way.from, names = way.names })
        continue
      end
      local nets = jig:reach{ from = way.from, through = "anything", except = names }
      if nets[finger] then return steps, way.names end
      for net in nets do reached[net] = true end
      for _, one in list do
        local a, b = one.part.across[1], one.part.across[2]
        local to = if nets[a] and not reached[b] then b elseif nets[b] and not reached[a] then a else nil
        if to then
          local more = table.clone(way.names)
          table.insert(more, one.part.name)
          table.insert(here, { from = { to }, names = more, wait = one.counts > 1 })
        end
      end
    end
    if #here == 0 then return nil end
  end
  return nil
end

local function single(found, jig, touchable)
  local count, names = fewest(jig, touchable.net)
  if count == nil or count >= limit("one-resistor") then return end
  table.insert(found, warning{
    check = "one-resistor",
    message = string.format("%s between the tip and %s: moist dirt or one cracked film across it puts the mains on the finger",
      if count == 0 then "no resistor stands" else "a single resistor stands", touchable.name),
    remedy = string.format("put at least %d resistors in series, apart from each other", limit("one-resistor")),
    parts = names, touchables = { touchable.name }, condition = "any one part bridged", quantity = "resistors", value = count,
  })
end

-- How much light a lamp gives, 1 where it is just seen: a filament by the share of its rated volts, others by their current. Lamps
-- beside each other that take turns count together.
local function light(jig, list, state)
  local best, first = 0, list[1]
  for _, lamp in list do
    local row, all = state.parts[lamp.name], 0
    if lamp.kind == "filament-lamp" then
      all = row.voltage_rms / lamp.volts / limit("filament-seen")
    else
      for _, other in list do
        local a, b = other.across[1], other.across[2]
        local beside = other == lamp or other.kind == lamp.kind
          and (jig:joined(a, lamp.across[1]) and jig:joined(b, lamp.across[2]) or jig:joined(a, lamp.across[2]) and jig:joined(b, lamp.across[1]))
        if beside then all += state.parts[other.name].current_rms ^ 2 end
      end
      all = math.sqrt(all) / limit("too-dim")
    end
    if all > best then best, first = all, lamp end
  end
  return best, first
end

-- The setting of the switches in which the lamps are brightest.
local function brightest(jig, list, wish)
  local best, lamp, at = -1, list[1], nil
  for _, set in settings(jig) do
    wish.switches = set.switches
    local now, first = light(jig, list, jig:solve(wish))
    if now > best then best, lamp, at = now, first, set end
  end
  return best, lamp, at
end

-- The part that takes what flows past a lamp: with it out the lamp lights.
local function thief(jig, list, lamp, wish)
  for _, fault in jig:faults() do
    local name = string.match(fault, "^(.+)%-open$")
    local part = name and jig:part(name)
    if part == nil or part == lamp then continue end
    wish.faults = { fault }
    if light(jig, list, jig:solve(wish)) >= 1 then return part end
  end
  return nil
end

local function no_lamp(found, touchables)
  table.insert(found, warning{
    check = "no-lamp", message = "no lamp on the probe tells of mains: it shows every wire as dead",
    remedy = "put a neon lamp in series with the resistors", touchables = touchables, condition = "as wired",
  })
end

-- What is told of lamps that give less than `wanted` of the light that is just seen. `who` says how the probe is held.
local function too_dim(found, jig, list, wish, who, touchables, wanted)
  local share, lamp, at = brightest(jig, list, wish)
  if share >= wanted then return false end
  wish.switches = at.switches
  local least = limit("too-dim")
  local part = thief(jig, list, lamp, wish)
  wish.faults = nil
  local row = jig:solve(wish).parts[lamp.name]
  local dark = row.current_rms < least / 100
  local message, remedy, parts
  if part then
    parts = { lamp.name, part.name }
    message = string.format("%s takes what flows past %s: %s, and a live wire is taken for a dead one", part.name, lamp.name,
      if dark then "the lamp stays dark" else string.format("only %s are left for the lamp", format(row.current_rms, "A")))
    remedy = string.format("take %s out%s", part.name, if part.resistance then string.format(", or make it several times its %s", format(part.resistance, "Ω")) else "")
  elseif lamp.kind == "filament-lamp" then
    parts = { lamp.name }
    message = string.format("%s%s gets %.0f %% of its rated volts: it looks dark, and a live wire is taken for a dead one", who, lamp.name, 100 * row.voltage_rms / lamp.volts)
    remedy = "use a glow lamp or LEDs behind resistors, or a bulb for these volts"
  else
    parts = { lamp.name }
    message = string.format("%sonly %s flow through %s: in daylight it looks dark, and a live wire is taken for a dead one", who, format(row.current_rms, "A"), lamp.name)
    remedy = if dark then "use a lamp that strikes on fewer volts: this one does not light at all"
      else string.format("lower the resistance to it to about %.0f %% of what it is", 100 * share)
  end
  local words = if #at.words > 0 then ", " .. table.concat(at.words, ", ") else ""
  table.insert(found, warning{
    check = "too-dim", message = message, remedy = remedy, parts = parts, touchables = touchables,
    condition = who .. "mains " .. wish.supply .. words, quantity = "current r.m.s.", value = row.current_rms,
  })
  return true
end

local function lights(found, jig, touchable, list)
  local who = { touchable.name }
  if #list == 0 then return no_lamp(found, who) end
  -- On high mains it must be seen, on low mains it must at least light.
  if too_dim(found, jig, list, { supply = "high", hold = touchable.net }, "with a hand on earth ", who, 1) then return end
  too_dim(found, jig, list, { supply = "low", hold = touchable.net }, "with a hand on earth ", who, limit("strikes"))
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
  if #list == 0 then return no_lamp(found) end
  too_dim(found, jig, list, { supply = "low" }, "with the tips on both conductors ", nil, 1)
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
