-- A series-lamp limiter: whether the lamp limits, whether its light tells a short from a healthy load, whether it fits what is
-- plugged in, what it lets through cold, and what goes round it, at every position of the switches.

-- Watts that a load draws on the mains; nothing for an open or shorted outlet.
local function watts(jig, load)
  return load.power or (if load.resistance then jig.supply.nominal ^ 2 / load.resistance else nil)
end

-- The label of the load of that kind, where the outlet has one.
local function labelled(outlet, kind)
  for _, load in outlet.values do
    if load.kind == kind then return load.label end
  end
  return nil
end

-- Every way the switches can stand.
local function settings(jig)
  local list = { {} }
  for _, switch in jig:parts("switch") do
    local longer = {}
    for _, set in list do
      for _, position in switch.positions do
        local one = table.clone(set)
        one[switch.name] = position.name
        table.insert(longer, one)
      end
    end
    -- Past what can be tried, the rest stands on.
    if #longer <= 32 then list = longer end
  end
  return list
end

-- Whether both terminals of an outlet are on the mains with nothing but contacts, fuses and wires between.
local function direct(jig, outlet, set)
  local a, b = outlet.across[1], outlet.across[2]
  return jig:joined(a, "L", set) and jig:joined(b, "N", set) or jig:joined(a, "N", set) and jig:joined(b, "L", set)
end

local function with(jig, outlet, load, set, more)
  local wish = { supply = "nominal", loads = { [outlet.name] = load }, switches = set }
  for key, value in more or {} do wish[key] = value end
  return jig:solve(wish)
end

-- What flows through the outlet.
local function drawn(state, outlet)
  return state.outlets[outlet.name].current_rms
end

-- Whether what goes round the lamps is a load of its own that bears it: a heater switched in beside a bulb limits, too.
local function bears(jig, outlet, state)
  if #state.opens > 0 then return false end
  local heat = 0
  for _, part in jig:parts() do
    for _, item in part.items do
      local row = state.parts[item]
      if row == nil then continue end
      heat += row.power
      if part.power and part.kind ~= "transformer" and row.power > part.power * 1.25 then return false end
      if part.kind == "resistor" and part.power == nil and row.power > 1 then return false end
    end
  end
  -- What is no heat is no load: a capacitor or a choke limits and shows nothing.
  return heat > 0.9 * drawn(state, outlet) * jig.supply.nominal
end

-- The settings in which filament lamps light on a shorted outlet and not on an open one, the most a short draws in any, and the
-- settings in which a short draws what no lamp and no other load limits.
local function views(jig, outlet, list)
  local found, flows, gone = {}, 0, {}
  for _, set in list do
    local short, open = with(jig, outlet, labelled(outlet, "short"), set), with(jig, outlet, labelled(outlet, "open"), set)
    local lamps, rated = {}, math.huge
    for _, lamp in jig:parts("filament-lamp") do
      local now, free = short.parts[lamp.name].current_rms, open.parts[lamp.name].current_rms
      if now > 2 * free and now > 0.1 * lamp.power / lamp.volts then
        table.insert(lamps, lamp)
        rated = math.min(rated, lamp.power / lamp.volts)
      end
    end
    flows = math.max(flows, drawn(short, outlet))
    if #lamps > 0 and not direct(jig, outlet, set) then
      table.insert(found, { set = set, lamps = lamps, short = short, rated = rated })
    elseif drawn(short, outlet) > limit("on") and not bears(jig, outlet, short) then
      table.insert(gone, set)
    end
  end
  return found, flows, gone
end

local function lit(state, lamp)
  return state.parts[lamp.name].voltage_rms / lamp.volts
end

-- The sockets that an outlet is on, by name.
local function sockets_of(jig, outlet)
  local names = {}
  for _, socket in jig:parts("socket") do
    if table.find(socket.nets, outlet.across[1]) and table.find(socket.nets, outlet.across[2]) then table.insert(names, socket.name) end
  end
  return names
end

local function limited(found, jig, outlet, seen, flows)
  if #seen == 0 then
    table.insert(found, warning{
      check = "not-limited",
      message = string.format("no filament lamp stands in series with %s: a short there draws %s, and no lamp tells of it", outlet.name, format(flows, "A")),
      remedy = "wire a filament lamp into the switched live of the outlet, with nothing beside it",
      parts = sockets_of(jig, outlet), nets = outlet.across,
      condition = "mains nominal, " .. outlet.name .. " shorted", line = outlet.line, quantity = "current into a short", value = flows, unit = "A", limit = 0,
    })
    return
  end
  local worst, share = nil, limit("not-limited")
  for _, view in seen do
    local out = {}
    for _, lamp in view.lamps do table.insert(out, lamp.name .. "-open") end
    local state = with(jig, outlet, labelled(outlet, "short"), view.set, { faults = out })
    view.past = drawn(state, outlet)
    if view.past > share * view.rated and not bears(jig, outlet, state) and (worst == nil or view.past > worst.past) then worst = view end
  end
  if worst == nil then return end
  table.insert(found, warning{
    check = "not-limited",
    message = string.format("with %s taken out a short at %s still draws %s: there is a way round the lamp", worst.lamps[1].name, outlet.name, format(worst.past, "A")),
    remedy = "leave nothing beside the lamp; other lamps and resistors do not limit and show at once",
    parts = { worst.lamps[1].name }, condition = "mains nominal, " .. outlet.name .. " shorted, lamp out", line = outlet.line,
    quantity = "current past the lamp", value = worst.past, unit = "A", limit = share * worst.rated,
  })
end

-- The lamp of any setting that is worst on a shorted outlet: too few of its volts, or too many.
local function on_a_short(found, jig, outlet, seen)
  local low, high = { share = math.huge }, { share = 0 }
  for _, view in seen do
    for _, lamp in view.lamps do
      local share = lit(view.short, lamp)
      if share < low.share then low = { share = share, lamp = lamp } end
      if share > high.share then high = { share = share, lamp = lamp } end
    end
  end
  local at = "mains nominal, " .. outlet.name .. " shorted"
  if low.share < limit("short-light") then
    table.insert(found, caution{
      check = "short-light",
      message = string.format("on a shorted outlet %s gets %.0f %% of its rated volts: it glows dull where it should shout", low.lamp.name, 100 * low.share),
      remedy = string.format("fit a lamp rated %s", format(jig.supply.nominal, "V")),
      parts = { low.lamp.name }, condition = at, quantity = "share of rated volts", value = low.share,
    })
  end
  if high.share > limit("lamp-volts") then
    table.insert(found, warning{
      check = "lamp-volts",
      message = string.format("on a shorted outlet %s, rated %s, gets %s: it flashes over or bursts, and nothing limits any more",
        high.lamp.name, format(high.lamp.volts, "V"), format(high.share * high.lamp.volts, "V")),
      remedy = string.format("fit a lamp rated %s, or enough equal ones in series", format(jig.supply.nominal, "V")),
      parts = { high.lamp.name }, condition = at, quantity = "share of rated volts", value = high.share,
    })
  end
end

-- Each load at the setting that suits it best: a box with a choice of lamps is read with the right one in.
local function indication(found, jig, outlet, seen)
  local smallest, lamp, power = math.huge, nil, math.huge
  for _, view in seen do
    local all = 0
    for _, one in view.lamps do all += one.power end
    if all < power then power, lamp = all, view.lamps[1] end
  end
  for _, one in outlet.values do
    local load, label = watts(jig, one), one.label
    if load == nil then continue end
    smallest = math.min(smallest, load)
    local best, first = math.huge, nil
    for _, view in seen do
      local share = lit(with(jig, outlet, label, view.set), view.lamps[1]) / lit(view.short, view.lamps[1])
      if share < best then best, first = share, view.lamps[1] end
    end
    if best > limit("indication") then
      table.insert(found, caution{
        check = "indication",
        message = string.format("with a sound load of %s on %s %s already gets %.0f %% of the volts of a short: a short and a sound load look much the same", label, outlet.name, first.name, 100 * best),
        remedy = string.format("fit a lamp of %s or more for it, or say on the box that it is for smaller loads", format(load, "W")),
        parts = { first.name }, condition = "mains nominal, " .. outlet.name .. " with " .. label, quantity = "share of the volts of a short", value = best,
      })
    end
  end
  local times, more = power / smallest, limit("lamp-too-large")
  if times > more then
    table.insert(found, notice{
      check = "lamp-too-large",
      message = string.format("%s of lamp for a load of %s: a load that draws several times too much still gets nearly all of the mains and the lamp stays dark", format(power, "W"), format(smallest, "W")),
      remedy = string.format("fit a lamp of at most %s for it, or make the lamp changeable", format(smallest * more, "W")),
      parts = { lamp.name }, condition = "mains nominal", quantity = "lamp over load", value = times,
    })
  end
end

-- What each switch carries into a short while the lamps are cold.
local function inrush(found, jig, outlet, seen)
  local _, _, source = limit("cold-inrush")
  local worst = {}
  for _, view in seen do
    local state = with(jig, outlet, labelled(outlet, "short"), view.set, { supply = "high", cold = true })
    for _, switch in jig:parts("switch") do
      for _, item in switch.items do
        local row = state.parts[item]
        if row and row.current_rms > (worst[switch.name] or 0) then worst[switch.name] = row.current_rms end
      end
    end
  end
  for _, switch in jig:parts("switch") do
    local amperes = worst[switch.name] or 0
    if switch.current and amperes > switch.current then
      table.insert(found, caution{
        check = "cold-inrush",
        message = string.format("a cold lamp limits little: switched on into a short it lets %s through for a tenth of a second, and %s is rated %s", format(amperes, "A"), switch.name, format(switch.current, "A")),
        remedy = string.format("use a switch rated %s or more", format(math.ceil(amperes), "A")),
        parts = { switch.name }, condition = "mains high, lamp cold, " .. outlet.name .. " shorted",
        quantity = "current r.m.s.", value = amperes, unit = "A", limit = switch.current, source = source,
      })
    end
  end
end

-- The setting that gives the outlet the plain mains with the fewest switches moved from one where the lamp limits.
local function bypass(found, jig, outlet, gone, seen)
  local least
  for _, set in gone do
    for _, view in seen do
      local moved = {}
      for _, switch in jig:parts("switch") do
        if set[switch.name] ~= view.set[switch.name] then table.insert(moved, switch.name) end
      end
      if least == nil or #moved < #least.moved then least = { moved = moved, set = set, lamp = view.lamps[1] } end
    end
  end
  if least == nil then return end
  local words = {}
  for _, name in least.moved do table.insert(words, name .. " at " .. least.set[name]) end
  table.insert(found, caution{
    check = "bypass",
    message = string.format("%s leads past %s: nothing limits what %s draws, and nothing on the box tells that the limit is gone", table.concat(words, " with "), least.lamp.name, outlet.name),
    remedy = "take the bypass out, or make it a switch that springs back, under a guard, with a lamp that says it is on",
    parts = { table.unpack(least.moved) }, condition = table.concat(words, ", "), line = outlet.line,
  })
end

local function label(found, jig, outlet, view)
  local allowed, first = jig.settings.label_watts, view.lamps[1]
  if allowed <= 0 then return end
  local state = with(jig, outlet, labelled(outlet, "short"), view.set, { supply = "high", change = { [first.name] = { power = allowed } } })
  for _, fuse in jig:parts("fuse") do
    local flows = state.parts[fuse.name].current_rms
    if flows > fuse.current then
      table.insert(found, caution{
        check = "label-lamp",
        message = string.format("the label allows a lamp of %s: on a short it draws %s through %s of %s, which blows where the lamp should limit",
          format(allowed, "W"), format(flows, "A"), fuse.name, format(fuse.current, "A")),
        remedy = string.format("write \"lamp at most %d W\" on the box, or fit a fuse of %s or more", math.floor(allowed * fuse.current / flows / 10) * 10, format(flows, "A")),
        parts = { first.name, fuse.name }, condition = "mains high, " .. outlet.name .. " shorted, largest lamp of the label",
        quantity = "current r.m.s.", value = flows, unit = "A", limit = fuse.current,
      })
    end
  end
end

return {
  check = function(jig)
    local found, list = {}, settings(jig)
    if #jig:outlets() == 0 then
      return { caution{
        check = "loads-not-listed", message = "the file states no outlet, so nothing is known of what the lamp is there for",
        remedy = "add [[outlet]] with across = the two contacts and loads = [\"open\", \"short\", …]", condition = "as written",
      } }
    end
    for _, outlet in jig:outlets() do
      if not (labelled(outlet, "short") and labelled(outlet, "open")) then
        table.insert(found, caution{
          check = "loads-not-listed",
          message = outlet.name .. " does not list \"open\" and \"short\" among its loads, so nothing is known of what the lamp is there for",
          remedy = "write loads = [\"open\", \"short\", …] with the watts of what is tested on it", line = outlet.line, condition = "as written",
        })
        continue
      end
      local seen, flows, gone = views(jig, outlet, list)
      limited(found, jig, outlet, seen, flows)
      if #seen > 0 then
        on_a_short(found, jig, outlet, seen)
        indication(found, jig, outlet, seen)
        label(found, jig, outlet, seen[1])
        inrush(found, jig, outlet, seen)
        bypass(found, jig, outlet, gone, seen)
      end
    end
    return found
  end,
}
