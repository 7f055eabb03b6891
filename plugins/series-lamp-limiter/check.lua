-- A series-lamp limiter: whether the lamp limits, whether its light tells a short from a healthy load, whether it fits what is
-- plugged in, what it lets through cold, and what goes round it.

-- Watts of a load by its label, where it is stated in watts.
local function watts(label)
  return if string.match(label, "^[%d%.]+ ?W$") then quantity(label) else nil
end

local function has(list, word)
  return table.find(list, word) ~= nil
end

-- Whether a switch in a position joins both ends of a lamp.
local function bridges(jig, lamp, switch, position)
  local seen, grown = { [lamp.across[1]] = true }, true
  local function step(pair)
    local a, b = seen[pair[1]], seen[pair[2]]
    if a ~= b then
      seen[pair[1]], seen[pair[2]], grown = true, true, true
    end
  end
  while grown do
    grown = false
    for _, pair in position.joins do step(pair) end
    for _, wire in jig:parts("wire") do step(wire.across) end
  end
  return seen[lamp.across[2]] == true
end

-- Positions of the switches with every bypass off.
local function no_bypass(jig)
  local set = {}
  for _, switch in jig:parts("switch") do
    for _, position in switch.positions do
      local bridged = false
      for _, lamp in jig:parts("filament-lamp") do bridged = bridged or bridges(jig, lamp, switch, position) end
      if not bridged then
        set[switch.name] = position.name
        break
      end
    end
  end
  return set
end

-- The jig with a load on an outlet, every bypass off.
local function with(jig, outlet, load, more)
  local wish = { supply = "nominal", loads = { [outlet.name] = load }, switches = no_bypass(jig) }
  for key, value in more or {} do wish[key] = value end
  return jig:solve(wish)
end

-- Filament lamps in series with the outlet, with the state of the jig on a shorted outlet.
local function in_series(jig, outlet)
  local state, idle = with(jig, outlet, "short"), with(jig, outlet, "open")
  local lamps = {}
  for _, lamp in jig:parts("filament-lamp") do
    local now, free = state.parts[lamp.name].current_rms, idle.parts[lamp.name].current_rms
    if now > 2 * free and now > 0.1 * lamp.power / lamp.volts then table.insert(lamps, lamp) end
  end
  return lamps, state
end

-- The largest current any fuse or switch carries: what the whole box draws.
local function drawn(jig, state)
  local most = 0
  for _, kind in { "fuse", "switch", "wire" } do
    for _, part in jig:parts(kind) do
      local row = state.parts[part.name] or state.parts[part.name .. ".1"]
      if row then most = math.max(most, row.current_rms) end
    end
  end
  return most
end

local function limited(found, jig, outlet, lamps, state)
  local rated = 0
  for _, lamp in lamps do rated += lamp.power / lamp.volts end
  local most = limit("not-limited")
  local flows = drawn(jig, state)
  if #lamps > 0 and flows <= most * rated then return true end
  local message = if #lamps == 0
    then string.format("no filament lamp stands in series with %s: a short there is fed by the mains alone", outlet.name)
    else string.format("a short at %s draws %s, where the lamp alone lets %s through: there is a way round the lamp", outlet.name, format(flows, "A"), format(rated, "A"))
  table.insert(found, warning{
    check = "not-limited", message = message,
    remedy = "wire a filament lamp into the switched live of the outlet, with nothing beside it; other lamps and resistors do not limit and show at once",
    condition = "mains nominal, " .. outlet.name .. " shorted", line = outlet.line,
    quantity = "current into a short", value = flows, unit = "A", limit = most * rated,
  })
  return false
end

-- The lamp's volts as a share of what it is rated for.
local function lit(state, lamp)
  return state.parts[lamp.name].voltage_rms / lamp.volts
end

local function indication(found, jig, outlet, lamps, shorted)
  local first = lamps[1]
  local full, least = lit(shorted, first), limit("short-light")
  if full < least then
    table.insert(found, caution{
      check = "short-light",
      message = string.format("on a shorted outlet %s gets %.0f %% of its rated volts: it glows dull where it should shout", first.name, 100 * full),
      remedy = string.format("fit a lamp rated %s", format(jig.supply.nominal, "V")),
      parts = { first.name }, condition = "mains nominal, " .. outlet.name .. " shorted",
      quantity = "share of rated volts", value = full,
    })
  end
  local power, smallest = 0, math.huge
  for _, lamp in lamps do power += lamp.power end
  for _, label in outlet.loads do
    local load = watts(label)
    if load == nil then continue end
    smallest = math.min(smallest, load)
    local state = with(jig, outlet, label)
    local share, most = lit(state, first), limit("indication")
    if share > most * full then
      table.insert(found, caution{
        check = "indication",
        message = string.format("with a sound load of %s the lamp already gets %.0f %% of the volts of a short, and the load %.0f %% of its own: a short and a sound load look much the same",
          label, 100 * share / full, 100 * (1 - share * first.volts / jig.supply.nominal)),
        remedy = string.format("fit a lamp of %s or more for a load of %s, or say on the box that it is for smaller loads", format(load, "W"), label),
        parts = { first.name }, condition = "mains nominal, " .. outlet.name .. " with " .. label,
        quantity = "share of the volts of a short", value = share / full,
      })
    end
  end
  local times, most = power / smallest, limit("lamp-too-large")
  if times > most then
    table.insert(found, notice{
      check = "lamp-too-large",
      message = string.format("%s of lamp for a load of %s: a load that draws several times too much still gets nearly all of the mains and the lamp stays dark", format(power, "W"), format(smallest, "W")),
      remedy = string.format("fit a lamp of at most %s for it, or make the lamp changeable", format(smallest * most, "W")),
      parts = { first.name }, condition = "mains nominal", quantity = "lamp over load", value = times,
    })
  end
end

local function inrush(found, jig, lamps)
  local cold, source, amperes = limit("cold-inrush"), select(3, limit("cold-inrush")), 0
  for _, lamp in lamps do
    amperes += jig.supply.high / (lamp.volts ^ 2 / lamp.power * (lamp.cold_ratio or cold))
  end
  for _, switch in jig:parts("switch") do
    if switch.current and amperes > switch.current then
      table.insert(found, caution{
        check = "cold-inrush",
        message = string.format("a cold lamp limits little: switched on into a short it lets %s through for a tenth of a second, and %s is rated %s",
          format(amperes, "A"), switch.name, format(switch.current, "A")),
        remedy = string.format("use a switch rated %s or more", format(math.ceil(amperes), "A")),
        parts = { switch.name, lamps[1].name }, condition = "mains high, lamp cold, outlet shorted",
        quantity = "current r.m.s.", value = amperes, unit = "A", limit = switch.current, source = source,
      })
    end
  end
end

local function bypass(found, jig, lamps)
  for _, lamp in lamps do
    for _, switch in jig:parts("switch") do
      for _, position in switch.positions do
        if bridges(jig, lamp, switch, position) then
          table.insert(found, caution{
            check = "bypass",
            message = string.format("%s at %q bridges %s: the outlet has the whole mains, and nothing on the box tells that the limit is gone", switch.name, position.name, lamp.name),
            remedy = "take the bypass out, or make it a switch that springs back, under a guard, with a lamp that says it is on",
            parts = { switch.name, lamp.name }, condition = switch.name .. " at " .. position.name,
          })
        end
      end
    end
  end
end

local function label(found, jig, outlet, lamps)
  local allowed = jig.settings.label_watts
  if allowed <= 0 then return end
  local first = lamps[1]
  local state = with(jig, outlet, "short", { supply = "high", change = { [first.name] = { power = allowed } } })
  for _, fuse in jig:parts("fuse") do
    local flows = state.parts[fuse.name].current_rms
    if flows > fuse.current then
      table.insert(found, caution{
        check = "label-lamp",
        message = string.format("the label allows a lamp of %s: on a short it draws %s through %s of %s, which blows where the lamp should limit",
          format(allowed, "W"), format(flows, "A"), fuse.name, format(fuse.current, "A")),
        remedy = string.format("write \"lamp at most %d W\" on the box, or fit a fuse of %s or more", math.floor(fuse.current * jig.supply.nominal / 10) * 10, format(flows, "A")),
        parts = { first.name, fuse.name }, condition = "mains high, " .. outlet.name .. " shorted, largest lamp of the label",
        quantity = "current r.m.s.", value = flows, unit = "A", limit = fuse.current,
      })
    end
  end
end

return {
  check = function(jig)
    local found, told = {}, false
    for _, outlet in jig:outlets() do
      if not has(outlet.loads, "short") or not has(outlet.loads, "open") then
        table.insert(found, caution{
          check = "loads-not-listed",
          message = outlet.name .. " does not list \"open\" and \"short\" among its loads, so nothing is known of what the lamp is there for",
          remedy = "write loads = [\"open\", \"short\", …] with the watts of what is tested on it", line = outlet.line, condition = "as written",
        })
        continue
      end
      local lamps, state = in_series(jig, outlet)
      local fine = limited(found, jig, outlet, lamps, state)
      if #lamps > 0 and not told then
        told = true
        if fine then
          indication(found, jig, outlet, lamps, state)
          label(found, jig, outlet, lamps)
        end
        inrush(found, jig, lamps)
        bypass(found, jig, lamps)
      end
    end
    return found
  end,
}
