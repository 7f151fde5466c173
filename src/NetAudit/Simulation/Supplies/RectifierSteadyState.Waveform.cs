using System.Numerics;

namespace NetAudit.Simulation.Supplies;

// What an oscilloscope shows of the last solution.
internal sealed partial class RectifierSteadyState
{
    // A path conducts while it carries this part of its peak.
    private const double ConductingPart = 0.01;

    private int Stages => 2 * _steps;

    /// <summary>Highest minus lowest volts at the reservoir.</summary>
    public double RipplePeakToPeak =>
        _stageVolts.AsSpan(0, Stages).ToArray().Max()
        - _stageVolts.AsSpan(0, Stages).ToArray().Min();

    /// <summary>Frequency of the ripple: twice the mains' when both half cycles are alike.</summary>
    public double RippleFrequency => IsSymmetric ? 2 * Frequency : Frequency;

    /// <summary>Largest amperes through a rectifier.</summary>
    public double PeakAmps => _stageAmps.AsSpan(0, Stages).ToArray().Max();

    /// <summary>Amperes RMS that the rectifiers give together.</summary>
    public double RmsAmps
    {
        get
        {
            var sum = 0.0;
            for (var i = 0; i < Stages; i++)
            {
                sum += Weight(i) * _stageAmps[i] * _stageAmps[i];
            }
            return Math.Sqrt(sum / _steps);
        }
    }

    /// <summary>Degrees of the mains cycle during which one path conducts, the longer one's.</summary>
    public double ConductionAngle
    {
        get
        {
            var least = ConductingPart * PeakAmps;
            var longest = 0.0;
            for (var half = 0; half < Stages; half += 2 * _halfSteps)
            {
                var sum = 0.0;
                for (var i = half; i < half + 2 * _halfSteps; i++)
                {
                    sum += _stageAmps[i] > least ? Weight(i) : 0;
                }
                longest = Math.Max(longest, sum);
            }
            return 180 * longest / _halfSteps;
        }
    }

    /// <summary>
    /// Amperes RMS that the rectifier gives at a multiple of the mains frequency, as a phasor whose reference is the sine of the
    /// secondary's positive half cycle.
    /// </summary>
    public Complex HarmonicAmps(int multiple) => Harmonic(_stageAmps, multiple);

    /// <summary>Volts RMS at the reservoir at a multiple of the mains frequency, phasor as above.</summary>
    public Complex HarmonicVolts(int multiple) => Harmonic(_stageVolts, multiple);

    private static double Weight(int stage) => stage % 2 == 0 ? 1 - Gamma : Gamma;
}
