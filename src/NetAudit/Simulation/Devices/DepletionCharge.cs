using NetAudit.Circuits;

namespace NetAudit.Simulation.Devices;

/// <summary>
/// Charge of a junction's depletion layer: C = C0 / (1 - v/VJ)^M, continued by its tangent above FC VJ. Source: SPICE3 user manual,
/// section 3.4.2. Left out: the change of C0 and VJ with temperature.
/// </summary>
internal readonly struct DepletionCharge
{
    private readonly double _farads;
    private readonly double _potential;
    private readonly double _grading;
    private readonly double _bend;
    private readonly double _chargeAtBend;

    /// <param name="farads">Capacitance at 0 V; 0 for none.</param>
    /// <param name="potential">Volts of the junction potential.</param>
    /// <param name="grading">Grading coefficient, below 1.</param>
    /// <param name="forward">Share of the potential from which on the capacitance rises linearly, FC.</param>
    public DepletionCharge(double farads, double potential, double grading, double forward)
    {
        _farads = farads;
        _potential = potential;
        _grading = grading;
        _bend = Math.Min(forward, 0.95) * potential;
        _chargeAtBend = Below(_bend);
    }

    public static DepletionCharge Of(
        DeviceModel card,
        double scale,
        string capacitance,
        (string Name, double Default) potential,
        (string Name, double Default) grading
    ) =>
        new(
            scale * card.Get(capacitance, 0),
            card.Get(potential.Name, potential.Default),
            Math.Min(card.Get(grading.Name, grading.Default), 0.9),
            card.Get("fc", 0.5)
        );

    public bool Exists => _farads > 0;

    /// <summary>Charge and capacitance at a voltage.</summary>
    public (double Coulombs, double Farads) At(double volts)
    {
        if (volts < _bend)
        {
            return (Below(volts), _farads * Math.Pow(1 - volts / _potential, -_grading));
        }
        var atBend = _farads * Math.Pow(1 - _bend / _potential, -_grading);
        var slope = atBend * _grading / (_potential - _bend);
        var beyond = volts - _bend;
        return (_chargeAtBend + beyond * (atBend + 0.5 * slope * beyond), atBend + slope * beyond);
    }

    private double Below(double volts) =>
        _farads
        * _potential
        * (1 - Math.Pow(1 - volts / _potential, 1 - _grading))
        / (1 - _grading);
}
